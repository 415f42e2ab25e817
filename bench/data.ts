import { closeSync, existsSync, mkdirSync, openSync, writeFileSync, writeSync } from "node:fs";
import { join } from "node:path";
import { drawnPulls } from "../src/findings/slip-or-break/test-pulls.ts";
import { createRandom } from "../src/stats/mod.ts";

/** Makes the files that works are done on, the same each time; those that are there already are taken as they are. */
export function makeData(folder: string): void {
  mkdirSync(folder, { recursive: true });
  const make = (name: string, write: (path: string) => void) => {
    const path = join(folder, name);
    if (!existsSync(path)) write(path);
  };
  for (const rows of [30_000, 100_000, 1_000_000, 10_000_000])
    make(`rows-${rows}.csv`, (path) => writeRows(path, rows));
  const random = createRandom(11);
  const lines = (rows: readonly (readonly number[])[]) => `${rows.map((row) => row.join(" ")).join("\n")}\n`;
  const strengths = Array.from({ length: 30 }, () => 28 * random.uniform() ** (1 / 12));
  make("weibull.txt", (path) =>
    writeFileSync(path, lines(strengths.map((one, at) => [Number(one.toFixed(3)), at % 5 === 4 ? 0 : 1]))),
  );
  make("bootstrap.txt", (path) =>
    writeFileSync(path, lines(strengths.map((one) => [Number(one.toFixed(2))]))),
  );
  make("groups.txt", (path) =>
    writeFileSync(
      path,
      lines(Array.from({ length: 20 }, (_, at) => [Number((30 + random.normal() + at / 20).toFixed(2))])),
    ),
  );
  // Bury in diameters, kilonewtons, and whether it broke: what is drawn as a figure.
  make("marks-200.txt", (path) =>
    writeFileSync(
      path,
      lines(
        Array.from({ length: 200 }, (_, at) => {
          const bury = [20, 30, 45, 60][at % 4] as number;
          const [slips, breaks] = [8 + 0.7 * bury + 3 * random.normal(), 36 + 2 * random.normal()];
          return [bury, Number(Math.min(slips, breaks).toFixed(2)), breaks < slips ? 1 : 0];
        }),
      ),
    ),
  );
  // Bury in diameters, strength, and 1 where it slipped; none was stopped.
  make("slip.txt", (path) =>
    writeFileSync(
      path,
      lines(
        drawnPulls(3, "exponential", 12).pulls.map(({ buryDiameters, strength, outcome }) => [
          buryDiameters,
          strength,
          outcome === "slipped" ? 1 : 0,
        ]),
      ),
    ),
  );
  const spools = Array.from({ length: 6 }, () => 2 * random.normal());
  make("mixed.txt", (path) =>
    writeFileSync(
      path,
      lines(
        Array.from({ length: 60 }, (_, at) => {
          const x = (at % 10) / 2;
          const y = 30 + 1.5 * x + (spools[at % 6] as number) + random.normal();
          return [Number(y.toFixed(3)), x, at % 6];
        }),
      ),
    ),
  );
}

/** Time and force at 1,000 Hz: a rest, a ramp to 36 kN in a minute and a break, again and again; 20 N of scatter. */
function writeRows(path: string, rows: number): void {
  const file = openSync(path, "w");
  writeSync(file, "time (s),force (N)\n");
  let state = 42;
  let text = "";
  for (let row = 0; row < rows; row++) {
    const phase = (row / 1000) % 100;
    const load = phase >= 20 && phase < 80 ? (phase - 20) * 600 : 0;
    state = (state * 48_271) % 2_147_483_647;
    const force = Math.round((load + 110 + (20 * state) / 2_147_483_647) * 20) / 20;
    text += `${(row / 1000).toFixed(3)},${force.toFixed(2)}\n`;
    if (row % 100_000 === 99_999 || row === rows - 1) {
      writeSync(file, text);
      text = "";
    }
  }
  closeSync(file);
}
