import { type Column, cellsOf, columnsOf } from "./columns.ts";
import { type BundleContent, type TableName, tableNames } from "./content.ts";
import { writeCsv } from "./csv.ts";

/** What a bundle says of itself beside its content. */
export type BundleAbout = {
  /** Absent where the series was not published under a number. */
  readonly revision?: number;
  readonly publishedAt?: string;
  readonly program: string;
  readonly contentSha256: string;
};

/** The files of a bundle that are no tables, each under its path. */
export type BundleFile = { readonly path: string; readonly bytes: Uint8Array };

/** The number of the form in which bundles are written; a program refuses one that it does not know. */
export const bundleForm = 1;

export const packagePath = "datapackage.json";
export const reportPath = "report.html";
export const resultsPath = "data/results.csv";
export const jsonPaths = {
  others: "data/pooled-pulls.json",
  findings: "findings.json",
  slipOrBreak: "slip-or-break.json",
} as const;

/** Where a table lies in the bundle. */
export function tablePath(table: TableName): string {
  return `data/${table}.csv`;
}

/** Where the original bytes of a recording lie, and its samples as Parquet. */
export function recordingPath({ sha256, fileName }: { sha256: string; fileName: string }): string {
  const ending = /\.([A-Za-z0-9]{1,8})$/.exec(fileName)?.[1]?.toLowerCase();
  // The samples beside it are the only .parquet.
  return `recordings/${sha256}.${ending === undefined || ending === "parquet" ? "bin" : ending}`;
}
export function samplesPath({ sha256 }: { sha256: string }): string {
  return `recordings/${sha256}.parquet`;
}
export function picturePath({ sha256, mediaType }: { sha256: string; mediaType: string }): string {
  return `pictures/${sha256}.${mediaType === "image/jpeg" ? "jpg" : mediaType.slice("image/".length)}`;
}

/** The content's own files: a CSV for each table, JSON for what is no table. */
export function contentFiles(content: BundleContent): readonly BundleFile[] {
  const encode = new TextEncoder();
  const json = (path: string, value: unknown) => ({
    path,
    bytes: encode.encode(`${JSON.stringify(value, undefined, 1)}\n`),
  });
  return [
    ...tableNames.map((table) => ({
      path: tablePath(table),
      bytes: encode.encode(
        writeCsv([
          columnsOf(table).map(({ name }) => name),
          ...content.tables[table].map((row) => cellsOf(table, row)),
        ]),
      ),
    })),
    json(jsonPaths.others, content.others),
    json(jsonPaths.findings, content.findings),
    ...(content.slipOrBreak === undefined ? [] : [json(jsonPaths.slipOrBreak, content.slipOrBreak)]),
  ];
}

/**
 * The descriptor of a bundle by the Data Package standard, version 2.0 (https://datapackage.org/standard/data-package/):
 * each file with its size and SHA-256, each table with the schema of its columns. What is this program's own stands under
 * "bitterend".
 */
export function describePackage(
  content: BundleContent,
  files: readonly BundleFile[],
  about: BundleAbout,
  sha256: (bytes: Uint8Array) => string,
): object {
  const series = content.tables.series[0];
  const title = series?.title ?? "";
  return {
    $schema: "https://datapackage.org/profiles/2.0/datapackage.json",
    name: slug(title),
    id: `urn:sha256:${about.contentSha256}`,
    title: series?.simulated === true ? `${title} (simulated)` : title,
    description: description(series?.question ?? ""),
    ...(about.revision === undefined ? {} : { version: String(about.revision) }),
    ...(about.publishedAt === undefined ? {} : { created: about.publishedAt }),
    ...(series === undefined || series.tester === ""
      ? {}
      : { contributors: [{ title: series.tester, roles: ["tester"] }] }),
    resources: [...files]
      .sort((a, b) => (a.path < b.path ? -1 : 1))
      .map(({ path, bytes }) => ({
        ...resourceOf(path, content),
        bytes: bytes.length,
        hash: `sha256:${sha256(bytes)}`,
      })),
    bitterend: {
      form: bundleForm,
      seriesId: series?.id ?? "",
      ...(about.revision === undefined ? {} : { revision: about.revision }),
      ...(about.publishedAt === undefined ? {} : { publishedAt: about.publishedAt }),
      contentSha256: about.contentSha256,
      methods: content.methods,
      program: about.program,
    },
  };
}

function resourceOf(path: string, content: BundleContent): object {
  const table = tableNames.find((name) => tablePath(name) === path);
  if (table !== undefined)
    return {
      name: table,
      path,
      type: "table",
      title: titles[table],
      format: "csv",
      mediatype: "text/csv",
      encoding: "utf-8",
      schema: schemaOf(table),
    };
  const name = path.toLowerCase().replace(/[^a-z0-9._-]/g, "-");
  const recording = content.tables.recordings.find((one) => path.includes(one.sha256));
  const picture = content.tables.pictures.find((one) => picturePath(one) === path);
  if (recording !== undefined)
    return path.endsWith(".parquet")
      ? {
          name,
          path,
          title: `Samples of ${recording.fileName}: seconds, newtons, metres`,
          format: "parquet",
          mediatype: "application/vnd.apache.parquet",
        }
      : {
          name,
          path,
          title: `${recording.fileName}, byte for byte as the logger wrote it`,
          mediatype: "application/octet-stream",
        };
  if (picture !== undefined)
    return { name, path, title: picture.caption || picture.fileName, mediatype: picture.mediaType };
  const known = others[path];
  return { name, path, ...(known ?? { mediatype: "application/octet-stream" }) };
}

function schemaOf(table: TableName): object {
  const columns = columnsOf(table);
  const key = table === "readings" ? "pull_id" : table === "recordings" ? "sha256" : "id";
  const keys = references[table] ?? {};
  return {
    fields: columns.map(fieldOf),
    // A recipe has a row for each of its versions.
    primaryKey: table === "recipes" ? ["id", "version"] : [key],
    ...(Object.keys(keys).length === 0
      ? {}
      : {
          foreignKeys: Object.entries(keys).map(([field, [resource, to]]) => ({
            fields: [field],
            reference: { resource, fields: [to] },
          })),
        }),
    missingValues: [""],
  };
}

function fieldOf({ name, type, required, choices }: Column): object {
  const unit = units.find(([ending]) => name.endsWith(ending))?.[1];
  return {
    name,
    type,
    ...(unit === undefined ? {} : { description: `In ${unit}.` }),
    ...(!required && choices === undefined
      ? {}
      : {
          constraints: {
            ...(required ? { required: true } : {}),
            ...(choices === undefined ? {} : { enum: choices }),
          },
        }),
  };
}

/** Which column points to which table's; a recipe is named by its id and version and so has no single key. */
const references: Readonly<
  Partial<Record<TableName, Readonly<Record<string, readonly [TableName, string]>>>>
> = {
  spools: { rope_id: ["ropes", "id"] },
  benches: {
    load_cell_id: ["load-cells", "id"],
    near_hardware_id: ["hardware", "id"],
    far_hardware_id: ["hardware", "id"],
  },
  specimens: { series_id: ["series", "id"], rope_id: ["ropes", "id"], spool_id: ["spools", "id"] },
  pulls: {
    series_id: ["series", "id"],
    specimen_id: ["specimens", "id"],
    bench_id: ["benches", "id"],
    recording_sha256: ["recordings", "sha256"],
  },
  readings: { pull_id: ["pulls", "id"] },
  claims: { series_id: ["series", "id"] },
  "pooled-series": { series_id: ["series", "id"] },
};

const titles: Readonly<Record<TableName, string>> = {
  series: "The question, its factors and the tester's words",
  ropes: "Ropes, with their rated strength and its source",
  spools: "Spools",
  recipes: "Recipes, a row for each version by which a specimen was made",
  hardware: "Pins, shackles and rings",
  "load-cells": "Load cells, with the points of their certificates",
  benches: "Benches",
  specimens: "Specimens as they were made",
  pulls: "Pulls: which specimen, which recording, how it ended; with a person's corrections",
  readings: "What the machine read of each pull, before corrections",
  recordings: "Recordings, by the SHA-256 of their bytes",
  pictures: "Pictures",
  claims: "Published figures set beside the pulls",
  "pooled-series": "Other series that are pooled with this one",
};

const others: Readonly<Record<string, object>> = {
  [reportPath]: { title: "The report as one page", format: "html", mediatype: "text/html" },
  [resultsPath]: {
    title: "Each pull with its strength, efficiency and use, computed: the table of the report",
    format: "csv",
    mediatype: "text/csv",
    encoding: "utf-8",
  },
  [jsonPaths.others]: {
    title: "Judged pulls of series of the same book with which this one is pooled",
    format: "json",
    mediatype: "application/json",
  },
  [jsonPaths.findings]: { title: "What was found", format: "json", mediatype: "application/json" },
  [jsonPaths.slipOrBreak]: {
    title: "Slip or break: from which bury on",
    format: "json",
    mediatype: "application/json",
  },
};

/** The units that a column's name carries at its end, the longest first. */
const units: readonly (readonly [string, string])[] = [
  ["_g_per_m", "grams per metre"],
  ["_n_per_m", "newtons per metre"],
  ["_n_per_s", "newtons per second"],
  ["_mm", "millimetres"],
  ["_n", "newtons"],
  ["_s", "seconds"],
  ["_m", "metres"],
  ["_j", "joules"],
  ["_diameters", "nominal rope diameters"],
];

function description(question: string): string {
  const form =
    "Made by Bitter End. Tables are CSV by RFC 4180; nested values are JSON in a cell. A text that a spreadsheet would take " +
    "for a formula has an apostrophe before it. Nothing here certifies any other piece than the one that was pulled.";
  return question === "" ? form : `${question}\n\n${form}`;
}

function slug(title: string): string {
  const plain = title
    .normalize("NFKD")
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-+|-+$/g, "")
    .slice(0, 80);
  return plain === "" ? "series" : plain;
}
