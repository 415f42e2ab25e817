import { join } from "node:path";
import { startServer } from "./server.ts";

/** How the time of one work grows: its size and time at each, and the exponent that fits them. */
export type Growth = {
  readonly name: string;
  readonly unit: string;
  readonly points: readonly { readonly size: number; readonly ms: number }[];
  /** Of time over size, by least squares in their logarithms; 1 is linear. */
  readonly exponent: number;
};

const files = [100_000, 1_000_000, 10_000_000];
const counts = [1000, 10_000, 100_000];

const grown: readonly {
  name: string;
  title: string;
  unit: string;
  sizes: readonly number[];
  file: boolean;
  /** Where one turn takes as long as all others together. */
  turns?: number;
}[] = [
  { name: "csv", title: "CSV to typed arrays", unit: "rows", sizes: files, file: true },
  { name: "reading", title: "the whole reading", unit: "samples", sizes: files, file: true },
  { name: "pyramid", title: "pyramid of extremes", unit: "samples", sizes: files, file: false },
  { name: "pack", title: "packing without loss", unit: "rows", sizes: files, file: true },
  { name: "list", title: "list of pulls", unit: "pulls", sizes: counts, file: false },
  {
    name: "tolerance-one",
    title: "tolerance factors",
    unit: "factors",
    sizes: [100, 1000, 10_000],
    file: false,
  },
  { name: "site", title: "a site of reports", unit: "reports", sizes: [5, 50, 500], file: false, turns: 1 },
];

/** Measures each work at 1, 10 and 100 times a size; the least of so many turns counts. */
export async function measureGrowth(program: string, folder: string, turns: number): Promise<Growth[]> {
  const all: Growth[] = [];
  for (const { name, title, unit, sizes, file, turns: few } of grown) {
    const points: { size: number; ms: number }[] = [];
    for (const size of sizes) {
      const server = startServer(process.execPath, [program]);
      let ms = Number.POSITIVE_INFINITY;
      for (let turn = 0; turn <= (few ?? turns); turn++) {
        const done = await server.ask(name, file ? join(folder, `rows-${size}.csv`) : "", size);
        if (turn > 0) ms = Math.min(ms, done.ms);
      }
      server.stop();
      points.push({ size, ms });
    }
    all.push({ name: title, unit, points, exponent: exponentOf(points) });
  }
  return all;
}

function exponentOf(points: readonly { size: number; ms: number }[]): number {
  const logs = points.map(({ size, ms }) => [Math.log(size), Math.log(ms)] as const);
  const mean = (at: 0 | 1) => logs.reduce((sum, log) => sum + log[at], 0) / logs.length;
  const [x, y] = [mean(0), mean(1)];
  const across = logs.reduce((sum, log) => sum + (log[0] - x) * (log[1] - y), 0);
  return across / logs.reduce((sum, log) => sum + (log[0] - x) ** 2, 0);
}

const colours = ["#b4531a", "#1d5f8a", "#4a7a2c", "#7a3b86", "#8a6d1d", "#444444"];
const width = 720;
const height = 430;
const left = 70;
const right = 250;
const top = 20;
const bottom = 50;

/** The curves as a figure: time over size, both in powers of ten, each curve named with its exponent. */
export function drawGrowth(all: readonly Growth[]): string {
  const points = all.flatMap((one) => one.points);
  const log = (value: number) => Math.log10(value);
  const [x0, x1] = [
    Math.floor(Math.min(...points.map(({ size }) => log(size)))),
    Math.ceil(Math.max(...points.map(({ size }) => log(size)))),
  ];
  const [y0, y1] = [
    Math.floor(Math.min(...points.map(({ ms }) => log(ms)))),
    Math.ceil(Math.max(...points.map(({ ms }) => log(ms)))),
  ];
  const x = (value: number) => left + ((value - x0) / (x1 - x0)) * (width - left - right);
  const y = (value: number) => height - bottom - ((value - y0) / (y1 - y0)) * (height - top - bottom);
  const parts: string[] = [];
  for (let power = x0; power <= x1; power++)
    parts.push(
      `<line x1="${x(power)}" x2="${x(power)}" y1="${top}" y2="${height - bottom}" stroke="#ddd"/><text x="${x(power)}" y="${height - bottom + 18}" text-anchor="middle">${powerOfTen(power)}</text>`,
    );
  for (let power = y0; power <= y1; power++)
    parts.push(
      `<line x1="${left}" x2="${width - right}" y1="${y(power)}" y2="${y(power)}" stroke="#ddd"/><text x="${left - 8}" y="${y(power) + 4}" text-anchor="end">${powerOfTen(power)}</text>`,
    );
  // The names stand at the ends of their curves, no two closer than a line.
  const ends = all
    .map((one, at) => ({ one, at, place: y(log((one.points.at(-1) ?? { ms: 1 }).ms)) }))
    .sort((a, b) => a.place - b.place);
  let lowest = Number.NEGATIVE_INFINITY;
  for (const { one, at, place } of ends) {
    const colour = colours[at % colours.length];
    const line = one.points.map(({ size, ms }) => `${x(log(size)).toFixed(1)},${y(log(ms)).toFixed(1)}`);
    const last = one.points.at(-1) ?? { size: 1, ms: 1 };
    const name = Math.max(place, lowest + 16);
    lowest = name;
    parts.push(
      `<polyline points="${line.join(" ")}" fill="none" stroke="${colour}" stroke-width="2"/>`,
      ...line.map(
        (point) =>
          `<circle cx="${point.split(",")[0]}" cy="${point.split(",")[1]}" r="3.5" fill="${colour}"/>`,
      ),
      `<line x1="${x(log(last.size))}" y1="${place}" x2="${width - right + 8}" y2="${name}" stroke="${colour}" stroke-dasharray="2 3"/>`,
      `<text x="${width - right + 12}" y="${name + 4}" fill="${colour}">${one.name}: size^${one.exponent.toFixed(2)}</text>`,
    );
  }
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" font-family="sans-serif" font-size="13" role="img"><title>How time grows with size</title><rect width="${width}" height="${height}" fill="#fff"/>${parts.join("")}<text x="${(left + width - right) / 2}" y="${height - 10}" text-anchor="middle">rows, samples, pulls or factors</text><text transform="translate(16 ${(top + height - bottom) / 2}) rotate(-90)" text-anchor="middle">milliseconds, the least of the turns</text></svg>\n`;
}

function powerOfTen(power: number): string {
  return power >= 0 && power <= 3 ? String(10 ** power) : `10<tspan dy="-5" font-size="9">${power}</tspan>`;
}
