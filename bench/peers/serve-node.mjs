// Peers that are libraries for Node. One line in, "work file count"; one line out, wall ms, processor ms and the answer.
import { readFileSync } from "node:fs";
import { createInterface } from "node:readline";

const works = {
  duckdb: async (file) => {
    const { DuckDBInstance } = await import("@duckdb/node-api");
    const connection = await (await DuckDBInstance.create(":memory:", { threads: "1" })).connect();
    const read = await connection.runAndReadAll(
      `select count(*)::double, sum(columns(*)) from read_csv('${file.replaceAll("'", "''")}')`,
    );
    const [row] = read.getRows();
    return [row[0], row[row.length - 1]];
  },
  papaparse: async (file) => {
    const { default: papa } = await import("papaparse");
    const { data } = papa.parse(readFileSync(file, "utf8"), { skipEmptyLines: true });
    let sum = 0;
    for (let row = 1; row < data.length; row++) sum += Number(data[row][1]);
    return [data.length - 1, sum];
  },
  figure: async (file, count) => {
    const { plot, marks, means, dom } = await drawing(file);
    const { document } = dom.parseHTML("<!doctype html><html><body></body></html>");
    let svg = "";
    for (let at = 0; at < count; at++)
      svg = plot.plot({
        document,
        width: 860,
        height: 420,
        y: { zero: true, grid: true },
        symbol: { range: ["circle", "triangle"] },
        marks: [
          plot.rect(means, {
            x1: (d) => d.bury - 2,
            x2: (d) => d.bury + 2,
            y1: "low",
            y2: "high",
            fillOpacity: 0.15,
          }),
          plot.ruleY(means, { x1: (d) => d.bury - 2, x2: (d) => d.bury + 2, y: "mean" }),
          plot.dot(marks, { x: "bury", y: "kN", symbol: "outcome", title: "name" }),
        ],
      }).outerHTML;
    // A dot with its title is a path within a group of dots.
    return [svg.match(/<path [^>]*><title>/g)?.length ?? 0];
  },
};

let drawn;

/** The library and the marks, read once; what is timed is the drawing. */
async function drawing(file) {
  drawn ??= (async () => {
    const [plot, dom] = await Promise.all([import("@observablehq/plot"), import("linkedom")]);
    const marks = readFileSync(file, "utf8")
      .trim()
      .split("\n")
      .map((row, at) => {
        const [bury, kN, broke] = row.split(" ").map(Number);
        return { bury, kN, outcome: broke === 1 ? "broke" : "slipped", name: `S${at}` };
      });
    const means = [20, 30, 45, 60].map((bury) => {
      const values = marks.filter((mark) => mark.bury === bury).map(({ kN }) => kN);
      const mean = values.reduce((sum, one) => sum + one, 0) / values.length;
      const sd = Math.sqrt(values.reduce((sum, one) => sum + (one - mean) ** 2, 0) / (values.length - 1));
      const half = (2.01 * sd) / Math.sqrt(values.length);
      return { bury, mean, low: mean - half, high: mean + half };
    });
    return { plot, dom, marks, means };
  })();
  return drawn;
}

const peer = process.argv[2];
if (peer === "duckdb") await import("@duckdb/node-api");
if (peer === "papaparse") await import("papaparse");
if (peer === "plot") await Promise.all([import("@observablehq/plot"), import("linkedom")]);
for await (const line of createInterface({ input: process.stdin })) {
  const [work, file, count] = line.split(" ");
  const cpu = process.cpuUsage();
  const wall = performance.now();
  const answer = await (works[peer] ?? works[work])(file, Number(count));
  const ms = performance.now() - wall;
  const { user, system } = process.cpuUsage(cpu);
  process.stdout.write(`${[ms, (user + system) / 1000, ...answer].join(" ")}\n`);
}
