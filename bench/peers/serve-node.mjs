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
};

const peer = process.argv[2];
if (peer === "duckdb") await import("@duckdb/node-api");
if (peer === "papaparse") await import("papaparse");
for await (const line of createInterface({ input: process.stdin })) {
  const [, file] = line.split(" ");
  const cpu = process.cpuUsage();
  const wall = performance.now();
  const answer = await works[peer](file);
  const ms = performance.now() - wall;
  const { user, system } = process.cpuUsage(cpu);
  process.stdout.write(`${[ms, (user + system) / 1000, ...answer].join(" ")}\n`);
}
