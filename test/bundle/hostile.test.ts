import { deflateSync, strToU8, zipSync } from "fflate";
import { beforeAll, describe, expect, it } from "vitest";
import type { App, BundleMade } from "../../src/app/mod.ts";
import { readBundle, tableNames } from "../../src/bundle/mod.ts";
import { problemOf, valueIn } from "../app/open-app.ts";
import { bookOf, changedZip, fullSeries, textIn } from "./books.ts";

let made: BundleMade;
let other: App;
beforeAll(async () => {
  const app = await bookOf("ours");
  const series = await fullSeries(app, { peaksKn: [2.4, 2.6] });
  made = valueIn(await app.bundleOfSeries(series.id));
  other = await bookOf("theirs");
});

const sha256 = () => "0".repeat(64);

/** What the bundle is refused for; and that nothing of it came into the book. */
async function refusal(bytes: Uint8Array) {
  const problem = problemOf(await other.importBundle({ fileName: "x.zip", bytes }));
  for (const kind of ["series", "rope", "recipe", "bench", "specimen", "pull"] as const)
    expect(await other.list(kind)).toEqual([]);
  return problem;
}

/** A zip of one file, with the name, sizes and method that its directory states. */
function rawZip(
  entries: readonly { name: string; data: Uint8Array; size: number; method?: number }[],
): Uint8Array {
  const parts: Uint8Array[] = [];
  const central: Uint8Array[] = [];
  let offset = 0;
  for (const { name, data, size, method = 8 } of entries) {
    const label = strToU8(name);
    const fields = (signature: number, extra: readonly number[], tail: readonly number[]) => {
      const head = new DataView(new ArrayBuffer(30 + extra.length * 2 + tail.length * 2));
      let at = 0;
      const two = (value: number) => {
        head.setUint16(at, value, true);
        at += 2;
      };
      const four = (value: number) => {
        head.setUint32(at, value, true);
        at += 4;
      };
      four(signature);
      for (const value of extra) two(value);
      two(20);
      two(0);
      two(method);
      four(0);
      four(0);
      four(data.length);
      four(size);
      two(label.length);
      two(0);
      for (const value of tail) two(value);
      return new Uint8Array(head.buffer, 0, at);
    };
    central.push(fields(0x02014b50, [20], [0, 0, 0, 0, 0, offset & 0xffff, offset >>> 16]), label);
    const local = fields(0x04034b50, [], []);
    parts.push(local, label, data);
    offset += local.length + label.length + data.length;
  }
  const directory = central.reduce((sum, { length }) => sum + length, 0);
  const end = new DataView(new ArrayBuffer(22));
  end.setUint32(0, 0x06054b50, true);
  end.setUint16(8, entries.length, true);
  end.setUint16(10, entries.length, true);
  end.setUint32(12, directory, true);
  end.setUint32(16, offset, true);
  return Buffer.concat([...parts, ...central, new Uint8Array(end.buffer)]);
}

describe("a hostile zip is refused, and nothing of it is stored", () => {
  it("reads a zip that is made by hand here as one that is made by the packer", () => {
    const read = readBundle(rawZip([{ name: "a.csv", data: deflateSync(strToU8("x")), size: 1 }]), {
      sha256,
    });
    expect(problemOf(read)).toMatchObject({ code: "BUNDLE_FILE", where: { file: "datapackage.json" } });
  });

  it.each([
    "../evil.csv",
    "data/../../evil.csv",
    "/etc/passwd",
    "C:\\evil.csv",
    "data\\evil.csv",
    "data/./x.csv",
    "a/b/c/d.csv",
    ".hidden",
    "__proto__",
    "data/\u202Evsc.exe",
    "",
  ])("with the path %j", async (name) => {
    expect(await refusal(rawZip([{ name, data: deflateSync(strToU8("x")), size: 1 }]))).toMatchObject({
      code: "BUNDLE_PATH",
    });
  });

  it("with one path twice", async () => {
    const entry = { name: "datapackage.json", data: deflateSync(strToU8("{}")), size: 2 };
    expect(await refusal(rawZip([entry, entry]))).toMatchObject({ code: "BUNDLE_PATH" });
  });

  it("that says it unpacks to more than a bundle may have, before any of it is unpacked", async () => {
    const bomb = rawZip([{ name: "a.csv", data: deflateSync(new Uint8Array(1000)), size: 0xf0000000 }]);
    expect(await refusal(bomb)).toMatchObject({ code: "BUNDLE_TOO_LARGE" });
    const limits = { packedBytes: 1e6, unpackedBytes: 1e6, files: 10 };
    const packed = zipSync({ "a.csv": new Uint8Array(2e6) });
    expect(problemOf(readBundle(packed, { sha256, limits }))?.code).toBe("BUNDLE_TOO_LARGE");
    expect(problemOf(readBundle(new Uint8Array(2e6), { sha256, limits }))?.code).toBe("BUNDLE_TOO_LARGE");
    const many = zipSync(
      Object.fromEntries(Array.from({ length: 11 }, (_, i) => [`f${i}.csv`, strToU8("x")])),
    );
    expect(problemOf(readBundle(many, { sha256, limits }))?.code).toBe("BUNDLE_TOO_LARGE");
  });

  it("that unpacks to more than it says, in little memory", async () => {
    // 64 MB of zeros under a stated 100 bytes.
    const data = deflateSync(new Uint8Array(64 * 1024 * 1024));
    const before = process.memoryUsage().arrayBuffers;
    const read = readBundle(rawZip([{ name: "datapackage.json", data, size: 100 }]), { sha256 });
    expect(read.ok).toBe(false);
    expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(16 * 1024 * 1024);
  });

  it("cut off, empty, of another packing, or no zip at all", async () => {
    for (const bytes of [
      made.bytes.subarray(0, made.bytes.length - 100),
      made.bytes.subarray(0, 1000),
      new Uint8Array(),
      strToU8("PK not a zip"),
      rawZip([{ name: "a.csv", data: strToU8("x"), size: 1, method: 99 }]),
    ])
      expect((await refusal(bytes))?.code).toBe("BUNDLE_ZIP");
  });
});

describe("a bundle that is not what it says is refused, and nothing of it is stored", () => {
  const edit = (change: (descriptor: { readonly resources: object[] }) => void) => (text: string) => {
    const descriptor = JSON.parse(text);
    change(descriptor);
    return JSON.stringify(descriptor);
  };

  it.each(tableNames)("with %s changed after it was made, or missing", async (table) => {
    const path = `data/${table}.csv`;
    expect((await refusal(changedZip(made.bytes, { [path]: (text) => `${text}\r\n` })))?.code).toMatch(
      /^BUNDLE_(HASH|TABLE)$/,
    );
    expect(await refusal(changedZip(made.bytes, { [path]: null }))).toMatchObject({ code: "BUNDLE_FILE" });
  });

  it("with a wrong hash, without one, or with a file that is not listed", async () => {
    const wrong = edit(({ resources }) => {
      (resources[0] as { hash: string }).hash = `sha256:${"0".repeat(64)}`;
    });
    const none = edit(({ resources }) => {
      delete (resources[0] as { hash?: string }).hash;
    });
    expect(await refusal(changedZip(made.bytes, { "datapackage.json": wrong }))).toMatchObject({
      code: "BUNDLE_HASH",
    });
    expect(await refusal(changedZip(made.bytes, { "datapackage.json": none }))).toMatchObject({
      code: "BUNDLE_HASH",
    });
    expect(await refusal(changedZip(made.bytes, { "extra.html": strToU8("<script>") }))).toMatchObject({
      code: "BUNDLE_FILE",
      found: "extra.html",
    });
  });

  it.each([
    ["datapackage.json", "{"],
    ["datapackage.json", "[]"],
    ["datapackage.json", "null"],
    ["datapackage.json", "{}"],
    ["datapackage.json", `${"[".repeat(100_000)}${"]".repeat(100_000)}`],
    ["datapackage.json", '{"resources":[],"bitterend":{"form":99}}'],
    ["findings.json", '{"a":'],
    ["findings.json", `${'{"a":'.repeat(5000)}1${"}".repeat(5000)}`],
    ["data/pooled-pulls.json", '[{"seriesId":"../x"}]'],
  ])("with broken JSON in %s: %.40s", async (path, text) => {
    expect((await refusal(changedZip(made.bytes, { [path]: () => text })))?.code).toMatch(
      /^BUNDLE_(FORM|TABLE)$/,
    );
  });

  it("with cells that no table holds: texts for numbers, ids that lead out, infinite and absurd values", async () => {
    for (const [path, from, to] of [
      ["data/pulls.csv", "26100.5", "1e999"],
      ["data/pulls.csv", "26100.5", "=1+1"],
      ["data/pulls.csv", "26100.5", "-5"],
      ["data/ropes.csv", "30000", "NaN"],
      ["data/series.csv", "ser-ours", "../../ser"],
      ["data/specimens.csv", '"[1,1]"', '"{""a"":1}"'],
      ["data/recordings.csv", /[0-9a-f]{64}/, "../../../../etc/passwd"],
    ] as const)
      expect(
        await refusal(changedZip(made.bytes, { [path]: (text) => text.replace(from, to) })),
        `${path} ${to}`,
      ).toMatchObject({ code: "BUNDLE_TABLE" });
    const invalid = Uint8Array.of(0x69, 0x64, 0xff, 0xfe);
    expect(await refusal(changedZip(made.bytes, { "data/ropes.csv": invalid }))).toMatchObject({
      code: "BUNDLE_TABLE",
    });
  });

  it("whose rows name what is not in it, by forged hashes too", async () => {
    const { createHash } = await import("node:crypto");
    const hash = (text: string | Uint8Array) => createHash("sha256").update(text).digest("hex");
    const { contentText } = await import("../../src/bundle/mod.ts");
    const change = (text: string) => text.replaceAll(/rop-ours\d+/g, "rop-elsewhere");
    const specimens = change(textIn(made.bytes, "data/spools.csv"));
    const once = changedZip(made.bytes, { "data/spools.csv": () => specimens });
    const read = valueIn(readBundle(once, { sha256: hash }));
    const forged = changedZip(once, {
      "datapackage.json": edit((descriptor) => {
        const { resources, bitterend } = descriptor as unknown as {
          resources: { path: string; bytes: number; hash: string }[];
          bitterend: { contentSha256: string };
        };
        const spools = resources.find(({ path }) => path === "data/spools.csv");
        if (spools === undefined) throw new Error("no spools");
        spools.bytes = new TextEncoder().encode(specimens).length;
        spools.hash = `sha256:${hash(specimens)}`;
        bitterend.contentSha256 = hash(contentText(read.content));
      }),
    });
    expect(valueIn(readBundle(forged, { sha256: hash })).faults).toEqual([]);
    expect(await refusal(forged)).toMatchObject({ code: "BUNDLE_TABLE", found: "rop-elsewhere" });
  });

  it("takes script, formulas and directions in texts for texts", async () => {
    const home = await bookOf("home");
    const hostile = '<script>alert(1)</script>\u202E=cmd|"/c calc"!A0';
    const series = await fullSeries(home, { title: hostile, peaksKn: [2.4, 2.6] });
    const bundle = valueIn(await home.bundleOfSeries(series.id));
    const away = await bookOf("away");
    const came = valueIn(await away.importBundle({ fileName: "x.zip", bytes: bundle.bytes }));
    expect(came.series.title).toBe(hostile);
    expect(valueIn(await away.previewReport(came.series.id))).not.toContain("<script>");
  });
});
