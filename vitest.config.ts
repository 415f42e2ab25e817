import { defineConfig } from "vitest/config";

export default defineConfig({
  define: { __BITTEREND_VERSION__: JSON.stringify("0.0.0-test") },
  test: {
    include: ["src/**/*.test.ts", "test/**/*.test.ts"],
    testTimeout: 60_000,
    hookTimeout: 120_000,
    // What is waited for comes late on a slow machine; what never comes fails all the same.
    expect: { poll: { timeout: 20_000, interval: 50 } },
    // Property tests print their seed and path when they fail; run order is fixed so that a failure can be met again.
    sequence: { shuffle: false },
  },
});
