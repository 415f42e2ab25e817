import { z } from "zod";
import { ok, type Problem, type Result, refuse } from "../problem/mod.ts";
import { canonicalJson, type JsonValue, parseJson, plainJson } from "./canonical.ts";
import { readRow } from "./columns.ts";
import {
  type BundleContent,
  otherSeriesFields,
  type RowOf,
  type TableName,
  type Tables,
  tableNames,
} from "./content.ts";
import { readCsv } from "./csv.ts";
import {
  type BundleAbout,
  bundleForm,
  jsonPaths,
  packagePath,
  picturePath,
  recordingPath,
  tablePath,
} from "./package.ts";
import { type BundleLimits, type Files, unpackZip } from "./zip.ts";

/** A bundle as it was read: what it says of itself, its content, and all its files. */
export type Bundle = {
  readonly about: BundleAbout & { readonly seriesId: string };
  readonly content: BundleContent;
  readonly files: Files;
  /** In what it is not what it says of itself: files missing or changed, hashes that do not fit. */
  readonly faults: readonly Problem[];
};

/** The hash under which a content is known: SHA-256 of its canonical JSON, with the form that it is written in. */
export function contentText(content: BundleContent): string {
  return canonicalJson({ form: bundleForm, ...content });
}

/**
 * Reads a bundle in memory; nothing in it is run and nothing is written anywhere.
 *
 * Refused: what is no zip or is too large, a path that leads out, a descriptor or table that cannot be read, a form that
 * this program does not know. What can be read although something does not fit (a changed file, a missing one, one too
 * many) comes with its faults; who imports refuses it, who verifies lists them.
 *
 * @example
 * const bundle = readBundle(bytes, { sha256 });
 * if (bundle.ok) bundle.value.content.tables.pulls.length;
 */
export function readBundle(
  bytes: Uint8Array,
  about: { readonly sha256: (bytes: Uint8Array) => string; readonly limits?: BundleLimits },
): Result<Bundle> {
  const unpacked = unpackZip(bytes, about.limits);
  if (!unpacked.ok) return unpacked;
  const files = unpacked.value;
  const described = readDescriptor(files);
  if (!described.ok) return described;
  const { resources, bitterend } = described.value;
  const content = readContent(files, bitterend.methods);
  if (!content.ok) return content;
  const { form: _, methods: __, ...rest } = bitterend;
  const contentSha256 = about.sha256(new TextEncoder().encode(contentText(content.value)));
  const faults = [
    ...fileFaults(files, resources, about.sha256),
    ...(contentSha256 === bitterend.contentSha256
      ? []
      : [hashFault(packagePath, "tables and findings together", contentSha256, bitterend.contentSha256)]),
    ...bytesFaults(files, content.value.tables, about.sha256),
    ...keyFaults(content.value.tables),
  ];
  return ok({ about: present(rest), content: content.value, files, faults });
}

const sha256Text = z.string().regex(/^[0-9a-f]{64}$/);
const descriptorFields = z.looseObject({
  resources: z
    .array(
      z.looseObject({
        name: z.string().max(300),
        path: z.string().max(300),
        bytes: z.number().int().nonnegative().optional(),
        hash: z.string().max(200).optional(),
      }),
    )
    .min(1)
    .max(50_000),
  bitterend: z.object({
    form: z.number(),
    seriesId: z.string().max(100),
    revision: z.number().int().min(1).optional(),
    publishedAt: z.iso.datetime().optional(),
    contentSha256: sha256Text,
    methods: z.record(z.string().max(100), z.string().max(100)),
    program: z.string().max(200),
  }),
});
type Descriptor = z.infer<typeof descriptorFields>;

function readDescriptor(files: Files): Result<Descriptor> {
  const found = readJson(files, packagePath);
  if (!found.ok) return found;
  const whole = found.value as { bitterend?: { form?: unknown } } | null;
  if (typeof whole !== "object" || whole?.bitterend === undefined)
    return refuse({
      code: "BUNDLE_FORM",
      message: "This data package was not written as a bundle of a series.",
      where: { file: packagePath },
      expected: "a bundle, as `bitterend bundle` writes it",
    });
  if (whole.bitterend.form !== bundleForm)
    return refuse({
      code: "BUNDLE_FORM",
      message: "The bundle is written in a form that this program does not know.",
      where: { file: packagePath, field: "bitterend.form" },
      found: String(whole.bitterend.form).slice(0, 100),
      expected: String(bundleForm),
      wayOut: "Use the version of the program that wrote it, or a newer one.",
    });
  const checked = descriptorFields.safeParse(found.value);
  if (checked.success) return ok(checked.data);
  return {
    ok: false,
    problems: checked.error.issues.slice(0, 20).map((issue) => ({
      code: "BUNDLE_FORM",
      message: `The bundle's description does not hold what is wanted: ${issue.message}.`,
      where: { file: packagePath, field: issue.path.map(String).join(".") },
    })),
  };
}

function readContent(files: Files, methods: Readonly<Record<string, string>>): Result<BundleContent> {
  const problems: Problem[] = [];
  const tables: Partial<Record<TableName, readonly object[]>> = {};
  for (const name of tableNames) {
    const table = readTable(files, name);
    if (table.ok) tables[name] = table.value;
    else problems.push(...table.problems);
  }
  const others = readJson(files, jsonPaths.others);
  const checked = others.ok ? otherSeriesFields.array().max(1000).safeParse(others.value) : undefined;
  if (!others.ok) problems.push(...others.problems);
  else if (checked?.success === false)
    problems.push({
      code: "BUNDLE_TABLE",
      message: "The pulls of pooled series cannot be read.",
      where: { file: jsonPaths.others, field: checked.error.issues[0]?.path.map(String).join(".") ?? "" },
    });
  const findings = readJson(files, jsonPaths.findings);
  if (!findings.ok) problems.push(...findings.problems);
  const slip = files.has(jsonPaths.slipOrBreak) ? readJson(files, jsonPaths.slipOrBreak) : undefined;
  if (slip?.ok === false) problems.push(...slip.problems);
  if (tables.series?.length !== 1)
    problems.push({
      code: "BUNDLE_TABLE",
      message: "A bundle holds one series.",
      where: { file: tablePath("series") },
      found: String(tables.series?.length ?? "none"),
      expected: "1 row",
    });
  if (problems.length > 0 || !findings.ok) return { ok: false, problems: problems.slice(0, 50) };
  return ok({
    tables: tables as unknown as Tables,
    others: plainJson(checked?.data ?? []) as unknown as BundleContent["others"],
    methods,
    findings: findings.value,
    ...(slip?.ok === true ? { slipOrBreak: slip.value } : {}),
  });
}

function readTable<T extends TableName>(files: Files, table: T): Result<readonly RowOf<T>[]> {
  const file = tablePath(table);
  const bytes = files.get(file);
  if (bytes === undefined) return refuse(missing(file));
  const text = textOf(bytes, file);
  if (!text.ok) return text;
  const lines = readCsv(text.value, file);
  if (!lines.ok) return lines;
  const [names = [], ...body] = lines.value;
  const rows: RowOf<T>[] = [];
  const problems: Problem[] = [];
  for (const [place, cells] of body.entries()) {
    const row = readRow(table, names, cells, { file, row: place + 1 });
    if (row.ok) rows.push(row.value);
    else problems.push(...row.problems);
    if (problems.length >= 20) break;
  }
  return problems.length > 0 ? { ok: false, problems } : ok(rows);
}

function readJson(files: Files, file: string): Result<JsonValue> {
  const bytes = files.get(file);
  if (bytes === undefined) return refuse(missing(file));
  const text = textOf(bytes, file);
  if (!text.ok) return text;
  const value = parseJson(text.value);
  return value === undefined
    ? refuse({
        code: "BUNDLE_TABLE",
        message: "The file is not JSON that can be read.",
        where: { file },
        found: text.value.slice(0, 100),
      })
    : ok(value);
}

function textOf(bytes: Uint8Array, file: string): Result<string> {
  try {
    return ok(new TextDecoder("utf-8", { fatal: true }).decode(bytes));
  } catch {
    return refuse({
      code: "BUNDLE_TABLE",
      message: "The file is not text in UTF-8.",
      where: { file },
    });
  }
}

/** Each file is described once, with its size and hash, and there is no other. */
function fileFaults(
  files: Files,
  resources: Descriptor["resources"],
  sha256: (bytes: Uint8Array) => string,
): Problem[] {
  const faults: Problem[] = [];
  const described = new Set([packagePath]);
  for (const { path, bytes, hash } of resources) {
    const file = files.get(path);
    if (described.has(path)) faults.push(notListed(path, "described once"));
    described.add(path);
    if (file === undefined) faults.push(missing(path));
    else if (bytes === undefined || hash === undefined)
      faults.push(hashFault(path, "the file", `sha256:${sha256(file)}`, "nothing"));
    else if (`sha256:${sha256(file)}` !== hash || file.length !== bytes)
      faults.push(hashFault(path, "the file", `sha256:${sha256(file)}`, hash));
  }
  for (const path of files.keys()) if (!described.has(path)) faults.push(notListed(path, "none but those"));
  return faults;
}

/** Recordings and pictures are the very bytes by whose hash the tables name them. */
function bytesFaults(files: Files, tables: Tables, sha256: (bytes: Uint8Array) => string): Problem[] {
  const named = [
    ...tables.recordings.map((one) => ({ path: recordingPath(one), wanted: one.sha256 })),
    ...tables.pictures.map((one) => ({ path: picturePath(one), wanted: one.sha256 })),
  ];
  return named.flatMap(({ path, wanted }) => {
    const bytes = files.get(path);
    if (bytes === undefined) return [missing(path)];
    const found = sha256(bytes);
    return found === wanted ? [] : [hashFault(path, "the original", found, wanted)];
  });
}

/** An id stands once in its table, a recipe's once for each version. */
function keyFaults(tables: Tables): Problem[] {
  return tableNames.flatMap((table) => {
    const seen = new Set<string>();
    return tables[table].flatMap((row) => {
      const key =
        "version" in row
          ? `${row.id} version ${row.version}`
          : "pullId" in row
            ? row.pullId
            : "id" in row
              ? row.id
              : row.sha256;
      if (!seen.has(key)) {
        seen.add(key);
        return [];
      }
      return [
        {
          code: "BUNDLE_TABLE" as const,
          message: "A key stands twice in its table.",
          where: { file: tablePath(table) },
          found: key,
        },
      ];
    });
  });
}

function missing(file: string): Problem {
  return {
    code: "BUNDLE_FILE",
    message: "A file of the bundle is missing.",
    where: { file },
    wayOut: "Ask for the bundle again; a part of it was lost on the way.",
  };
}

function notListed(file: string, expected: string): Problem {
  return {
    code: "BUNDLE_FILE",
    message: "The bundle holds a file that its description does not name as it is.",
    where: { file },
    found: file,
    expected: `the files that ${packagePath} lists, ${expected}`,
  };
}

function hashFault(file: string, what: string, found: string, expected: string): Problem {
  return {
    code: "BUNDLE_HASH",
    message: `The hash of ${what} is another than the bundle says.`,
    where: { file },
    found,
    expected,
    wayOut: "Ask for the bundle again; this one was changed after it was made.",
  };
}

function present<T extends object>(fields: T): { [F in keyof T]: Exclude<T[F], undefined> } {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined)) as {
    [F in keyof T]: Exclude<T[F], undefined>;
  };
}
