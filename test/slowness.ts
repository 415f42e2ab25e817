import { spawnSync } from "node:child_process";
import { cpus, loadavg } from "node:os";

/**
 * How many times as slow as a quiet machine this one is just now, at least 1: the processes that want to run for each
 * core, or the time that Node itself takes to start over the 55 ms that it takes on the machine for which the limits in
 * seconds were meant. A busy or slow computer shows how busy or slow it is, not how fast the program is.
 */
export function slowness(): number {
  const busy = (loadavg()[0] ?? 0) / cpus().length;
  return Math.max(1, busy, bareStartMs() / 55);
}

/** How long Node takes to start and do nothing: the best of three. */
function bareStartMs(): number {
  const times = [1, 2, 3].map(() => {
    const began = performance.now();
    spawnSync(process.execPath, ["-e", "0"]);
    return performance.now() - began;
  });
  return Math.min(...times);
}
