import { defineConfig } from "vitest/config";

export default defineConfig({
  define: { __BITTEREND_VERSION__: JSON.stringify("0.0.0-test") },
  test: {
    include: ["src/**/*.test.ts", "test/**/*.test.ts"],
    testTimeout: 60_000,
    hookTimeout: 120_000,
    // What is waited for comes late on a slow machine; what never comes fails all the same.
    expect: { poll: { timeout: 20_000, interval: 50 } },
    // Property tests draw from one seed and files run in one order, so that nothing fails by chance.
    setupFiles: ["test/setup/chance.ts"],
    sequence: { shuffle: false },
  },
});
