import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import Sqlite from "better-sqlite3";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { createApp } from "../../src/app/mod.ts";
import { nodeEffects } from "../../src/app/node/mod.ts";
import { openSqliteBook } from "../../src/store/mod.ts";
import { bundleCli, makeFolder, type RunOptions, runCli } from "./run.ts";

// The commands that work on a book, as processes, on a book of their own.

type Refusal = { problems: { code: string; message: string; found?: string }[] };
type Imported = {
  file: string;
  known: boolean;
  recording: { sha256: string; fileName: string };
  pulls: { id: string; benchId?: string }[];
  warnings: unknown[];
  problems?: { code: string }[];
};

const cli = bundleCli();
const folder = makeFolder();
const book = join(folder.path, "loft.sqlite");
let seriesId: string;
let benchId: string;

const run = (args: string[], options: RunOptions = {}) =>
  runCli(cli.script, args, { ...options, env: { BITTEREND_BOOK: book, ...options.env } });

/** Rest, a ramp to the peak in ten seconds, rest again. */
function ramp(peakKn: number): string {
  const rows = Array.from({ length: 161 }, (_, i) => {
    const t = i / 10;
    return `${t.toFixed(1)},${(0.05 + (t > 3 && t <= 13 ? ((t - 3) / 10) * peakKn : 0)).toFixed(3)}`;
  });
  return `Time (s),Force\n${rows.join("\n")}\n`;
}

beforeAll(async () => {
  const opened = await openSqliteBook(book, { create: true });
  if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
  const app = createApp(nodeEffects(opened.value));
  const series = await app.create("series", { title: "Does bury\u001b[31m matter?" });
  const bench = await app.create("bench", { name: "The bench" });
  if (!series.ok || !bench.ok) throw new Error("The book could not be filled.");
  seriesId = series.value.id;
  benchId = bench.value.id;
  const rope = await app.create("rope", { name: "Blue", nominalDiameterMm: 8, ratedStrengthN: 50_000 });
  const recipe = await app.create("recipe", { name: "Loop", kind: "crossed-tail loop", legs: 2 });
  for (const [index, typedPeakN] of [78_000, 80_000, 82_000].entries()) {
    const specimen = await app.create("specimen", {
      seriesId,
      label: `L${index}`,
      ropeId: rope.ok ? rope.value.id : "",
      recipeId: recipe.ok ? recipe.value.id : "",
    });
    const outcome = { kind: "broke", place: "throat" };
    await app.create("pull", {
      seriesId,
      specimenId: specimen.ok ? specimen.value.id : "",
      typedPeakN,
      outcome,
    });
  }
  await opened.value.close();
});
afterAll(() => cli.remove());

describe("series", () => {
  test("are listed with the ids that other commands ask for", async () => {
    const aloud = await run(["series"]);
    expect([aloud.code, aloud.err]).toEqual([0, ""]);
    expect(aloud.out).toContain(seriesId);
    // A title cannot steer the terminal.
    expect(aloud.out).toContain("Does bury?[31m matter?");
    const { json } = await run(["series", "--json"]);
    expect(json<{ id: string }[]>().map(({ id }) => id)).toEqual([seriesId]);
  });

  test("of the book that --book names before the one that BITTEREND_BOOK names", async () => {
    const { code, json } = await run(["series", "--json", "--book", join(folder.path, "none.sqlite")]);
    expect([code, json<Refusal>().problems[0]?.code]).toEqual([1, "BOOK_MISSING"]);
  });

  test("are not read out of what is no book", async () => {
    const file = folder.write("notes.txt", "It was a dark night. ".repeat(500));
    const { code, err } = await run(["series", "--book", file]);
    expect(code).toBe(1);
    expect(err).toMatch(/^Cannot open the book\n/);
    expect(err).toContain("[BOOK_NOT_A_BOOK]");
    expect(readFileSync(file, "utf8")).toBe("It was a dark night. ".repeat(500));
  });
});

describe("rig", () => {
  test("lists the rigs, and says of one which part is the weakest", async () => {
    expect((await run(["rig"])).out).toContain("The book holds no rig yet");
    const opened = await openSqliteBook(book);
    if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
    const made = await createApp(nodeEffects(opened.value)).create("rig", {
      name: "Raft",
      load: { kind: "straight pull", loadN: 10_000 },
      parts: [
        { name: "loop", kind: "connector", strength: { from: "pulls", seriesId, cell: "all pulls" } },
        { name: "ring", kind: "hardware", strength: { from: "rating", ratedN: 200_000 } },
      ],
    });
    await opened.value.close();
    const id = made.ok ? made.value.id : "";
    expect((await run(["rig"])).out).toContain(id);
    const { code, json } = await run(["rig", id, "--json"]);
    const { parts } = json<{ parts: { name: string; margin: number }[] }>();
    // 78, 80 and 82 kN: 80 − 7.656 · 2 = 64.69 kN (one-sided factor for n = 3, 95 % of 95 %, ISO 16269-6, from memory).
    expect([code, parts[0]?.margin.toFixed(2), parts[1]?.margin]).toEqual([0, "6.47", 20]);
    const aloud = await run(["rig", id]);
    expect(aloud.out).toContain("“loop” is the likeliest to give way first");
    expect(aloud.out).toContain("Not considered:");
    const gone = await run(["rig", "rig-none"]);
    expect([gone.code, gone.err]).toEqual([1, expect.stringContaining("[BOOK_NOT_FOUND]")]);
  });
});

describe("import", () => {
  test("keeps files with their pulls, and the layout for the next ones", async () => {
    const files = [folder.write("one.csv", ramp(20)), folder.write("two.csv", ramp(30))];
    const args = [
      "--series",
      seriesId,
      "--bench",
      benchId,
      "--save-layout",
      "My logger",
      "--force-unit",
      "kN",
    ];
    const { code, json, err } = await run(["import", ...files, ...args, "--json"]);
    expect([code, err]).toEqual([0, ""]);
    const imported = json<Imported[]>();
    expect(imported.map(({ file, known, pulls }) => [file, known, pulls.length])).toEqual([
      [files[0], false, 1],
      [files[1], false, 1],
    ]);
    expect(imported[0]?.pulls[0]?.benchId).toBe(benchId);

    // The unit that the file does not say is now known of this logger.
    const third = folder.write("three.csv", ramp(25));
    const again = await run(["import", third, "--series", seriesId]);
    expect([again.code, again.err]).toEqual([0, ""]);
    expect(again.out).toContain("kept, with 1 pull");
    // 25.05 kN at 4.4482216152605 N to the pound-force are 5631 lbf.
    expect(again.out).toContain("25.05 kN (5631 lbf)");
  });

  test("notices a file that is in the book", async () => {
    const file = folder.write("one.csv", ramp(20));
    const { code, json } = await run(["import", file, "--series", seriesId, "--force-unit", "kN", "--json"]);
    expect([code, json<Imported>().known]).toEqual([0, true]);
  });

  test("refuses what cannot be read and keeps the rest", async () => {
    const files = [folder.write("bad.csv", "Time (s),Force (kN)\n"), folder.write("four.csv", ramp(22))];
    const { code, json } = await run([
      "import",
      ...files,
      "--series",
      seriesId,
      "--force-unit",
      "kN",
      "--json",
    ]);
    expect(code).toBe(1);
    const [bad, good] = json<Imported[]>();
    expect(bad).not.toHaveProperty("recording");
    expect(bad?.problems?.[0]?.code).toBe("TRACE_HEADER_ONLY");
    expect(good?.pulls).toHaveLength(1);
    const aloud = await run(["import", files[0] ?? "", "--series", seriesId]);
    expect(aloud.err).toMatch(/^Cannot import .*bad\.csv: nothing was stored\n/);
  });

  test("asks for the unit that nothing says, and names the option", async () => {
    const file = folder.write("other.csv", ramp(20).replace("Time (s),Force", "Zeit (s),Kraft"));
    const { code, err } = await run(["import", file, "--series", seriesId]);
    expect(code).toBe(1);
    expect(err).toContain("--force-unit");
    expect(err).toContain("[TRACE_UNIT_ASKED]");
  });

  test("refuses a series that is not there, and stores nothing", async () => {
    const file = folder.write("five.csv", ramp(21));
    const { code, json } = await run([
      "import",
      file,
      "--series",
      "ser-nowhere",
      "--force-unit",
      "kN",
      "--json",
    ]);
    expect([code, json<Imported>().problems?.[0]?.code]).toEqual([1, "BOOK_NOT_FOUND"]);
    const now = await run(["import", file, "--series", seriesId, "--force-unit", "kN", "--json"]);
    expect(now.json<Imported>().known).toBe(false);
  });

  test("takes the standard input", async () => {
    const { code, json } = await run(["import", "-", "--series", seriesId, "--force-unit", "kN", "--json"], {
      input: ramp(19),
    });
    expect([code, json<Imported>().recording.fileName]).toEqual([0, "standard input"]);
  });
});

describe("findings", () => {
  test("are printed with the cells' statistics", async () => {
    const { code, out, err } = await run(["findings", seriesId]);
    expect([code, err]).toEqual([0, ""]);
    expect(out).toContain("3 broke");
    // By hand: the mean of 78, 80 and 82 kN is 80.0 kN; of a loop of 50 kN rope, 160 % by the line and 80 % by the leg.
    expect(out).toMatch(/\b80\.0 kN\b.*\b160 %.*\b80\.0 %/);
  });

  test("are whole as JSON", async () => {
    const { json } = await run(["findings", seriesId, "--json"]);
    const found = json<{
      seriesId: string;
      cells: { meanN: { ok: boolean; value: number } }[];
      warnings: unknown[];
    }>();
    expect(found.seriesId).toBe(seriesId);
    expect(found.cells.some(({ meanN }) => meanN.ok && meanN.value === 80_000)).toBe(true);
  });

  test("of a series that is not there are refused", async () => {
    const { code, err } = await run(["findings", "ser-nowhere"]);
    expect(code).toBe(1);
    expect(err).toMatch(/^Cannot judge ser-nowhere\n/);
  });
});

describe("bound", () => {
  test("says by which bound a series states its strengths, and chooses another", async () => {
    const before = await run(["bound", seriesId]);
    expect([before.code, before.err]).toEqual([0, ""]);
    expect(before.out).toContain("by the 95/95 normal bound");
    const chosen = await run(["bound", seriesId, "--method", "lowest", "--json"]);
    expect(chosen.json()).toMatchObject({ method: "lowest", content: 0.95, confidence: 0.95 });
    const { out } = await run(["findings", seriesId]);
    expect(out).toContain("lowest of n");
    // Three pulls: 1 − 0.95³ = 14.2625 %, by algebra.
    expect(out).toContain("holds with 14.2 % confidence");
    await run(["bound", seriesId, "--method", "normal"]);
  });

  test("refuses what is no method and no share", async () => {
    const { code, err } = await run(["bound", seriesId, "--method", "guess", "--content", "2"]);
    expect(code).toBe(1);
    expect(err).toContain("boundMethod");
    expect(err).toContain("boundContent");
  });
});

describe("report", () => {
  test("is written as a draft, and with --publish as what the book keeps", async () => {
    const out = join(folder.path, "reports", "2024");
    const draft = await run(["report", seriesId, "--out", out]);
    expect([draft.code, draft.err]).toEqual([0, ""]);
    expect(readdirSync(out)).toEqual([`${seriesId}-draft.html`]);
    const published = await run(["report", seriesId, "--out", out, "--publish", "--json"]);
    const answer = published.json<{ file: string; report: { number: number; sha256: string } }>();
    expect(answer).toMatchObject({ file: join(out, `${seriesId}-1.html`), report: { number: 1 } });
    const html = readFileSync(answer.file, "utf8");
    expect(html).toMatch(/^<!doctype html>/i);
    expect(html).not.toMatch(/<script/i);
  });

  test("is refused, and not published, where the folder cannot be", async () => {
    const file = join(folder.path, "in-the-way");
    writeFileSync(file, "");
    const { code, json } = await run([
      "report",
      seriesId,
      "--out",
      join(file, "deeper"),
      "--publish",
      "--json",
    ]);
    expect([code, json<Refusal>().problems[0]?.code]).toEqual([1, "INPUT_FILE"]);
    const next = await run(["report", seriesId, "--out", folder.path, "--publish", "--json"]);
    expect(next.json<{ report: { number: number } }>().report.number).toBe(2);
  });
});

describe("reread", () => {
  test("says what came out otherwise, stores it without --dry-run only, and is done then", async () => {
    // As if an older program had read it: another version, and a rest 10 N lower.
    const database = new Sqlite(book);
    const [row] = database.prepare("select sha256, reading from recording order by seq limit 1").all() as [
      { sha256: string; reading: string },
    ];
    const reading = JSON.parse(row.reading) as { method: { version: string }; pulls: { restN: number }[] };
    const now = reading.method.version;
    reading.method.version = "1";
    const [pull] = reading.pulls as [{ restN: number }];
    pull.restN -= 10;
    database
      .prepare("update recording set reading = ? where sha256 = ?")
      .run(JSON.stringify(reading), row.sha256);
    database.close();

    const dry = await run(["reread", "--dry-run", "--series", seriesId]);
    expect(dry.code).toBe(0);
    expect(dry.out).toContain(`method 1 before, ${now} now`);
    expect(dry.out).toContain(`restN: ${pull.restN} -> ${pull.restN + 10}`);
    expect(dry.out).toMatch(/recordings? read again, 1 came out otherwise; nothing was stored/);
    const done = await run(["reread", "--json"]);
    expect(JSON.parse(done.out)).toMatchObject({ dryRun: false, changes: [{ field: "restN" }], refused: [] });
    expect((await run(["reread"])).out).toMatch(/none came out otherwise$/m);
  });

  test("refuses a series that is not there", async () => {
    const answer = await run(["reread", "--series", "ser-none"]);
    expect(answer.code).toBe(1);
    expect(answer.err).toContain("BOOK_NOT_FOUND");
  });
});

describe("certificate", () => {
  type Answer = {
    dryRun: boolean;
    loadCell: { calibrationPoints: { appliedN: number; indicatedN: number }[]; calibratedOn?: string };
    points: object[];
  };
  let cell: string;

  test("without a file lists the load cells with their ids", async () => {
    const opened = await openSqliteBook(book, { create: false });
    if (!opened.ok) throw new Error(JSON.stringify(opened.problems));
    const app = createApp(nodeEffects(opened.value));
    const made = await app.create("load-cell", { name: "S-beam 50 kN" });
    cell = made.ok ? made.value.id : "";
    const bench = await app.get("bench", benchId);
    await app.change("bench", benchId, bench.ok ? bench.value.revision : 0, { loadCellId: cell });
    await opened.value.close();
    const { code, out, err } = await run(["certificate"]);
    expect([code, err]).toEqual([0, ""]);
    expect(out).toMatch(new RegExp(`^${cell} +S-beam 50 kN +0 +-$`, "m"));
  });

  test("reads the points, says them, and with --dry-run stores nothing", async () => {
    // As a spreadsheet saves it: UTF-16 with its mark, tabs, decimal commas.
    const text = "applied [kN]\tshown [lbf]\r\n10,0\t2250\r\n20,0\t4500\r\n";
    const file = folder.write(
      "points.txt",
      Buffer.concat([Buffer.from([0xff, 0xfe]), Buffer.from(text, "utf16le")]),
    );
    const { code, out, err } = await run(["certificate", file, "--cell", cell, "--dry-run"]);
    expect([code, err]).toEqual([0, ""]);
    // 2250 lbf are 10.0085 kN: 4.4482216152605 N to the pound-force (NIST SP 811, exact).
    expect(out).toContain("10.0085 kN");
    expect(out).toContain("2 points read for S-beam 50 kN; nothing was stored");
    expect((await run(["certificate", "--json"])).json<Answer["loadCell"][]>()[0]?.calibrationPoints).toEqual(
      [],
    );
  });

  test("keeps them in place of the former ones, and the pulls of the cell are read again with them", async () => {
    // The cell shows 2 % more than there is.
    const input = "10;10,2\n20;20,4\n40;40,8\n";
    const units = ["--applied-unit", "kN", "--indicated-unit", "kN", "--calibrated-on", "2026-03-14"];
    const { code, json, err } = await run(["certificate", "-", "--cell", cell, ...units, "--json"], {
      input,
    });
    expect([code, err]).toEqual([0, ""]);
    const { dryRun, loadCell } = json<Answer>();
    expect([dryRun, loadCell.calibratedOn]).toEqual([false, "2026-03-14"]);
    expect(loadCell.calibrationPoints).toEqual([
      { appliedN: 10_000, indicatedN: 10_200 },
      { appliedN: 20_000, indicatedN: 20_400 },
      { appliedN: 40_000, indicatedN: 40_800 },
    ]);
    const again = await run(["certificate", "-", "--cell", cell, ...units], { input });
    expect(again.out).toContain("3 points kept for S-beam 50 kN, in place of 3");
    expect((await run(["reread", "--json"])).json()).toMatchObject({ changes: [], refused: [] });
    const { json: found } = await run(["findings", seriesId, "--json"]);
    const codes = found<{ pulls: { warnings: { code: string }[] }[] }>().pulls.flatMap(({ warnings }) =>
      warnings.map((warning) => warning.code),
    );
    expect(codes).not.toContain("READING_OUT_OF_DATE");
  });

  test("refuses what is no table, asks for a unit that nothing says, and stores nothing", async () => {
    const points = async () =>
      (await run(["certificate", "--json"])).json<Answer["loadCell"][]>()[0]?.calibrationPoints.length;
    const unitless = await run(["certificate", "-", "--cell", cell], { input: "10;10\n" });
    expect(unitless.code).toBe(1);
    expect(unitless.err).toMatch(/^Cannot keep -: nothing was stored\n/);
    expect(unitless.err).toContain("--indicated-unit");
    const wrong = await run(["certificate", "-", "--cell", cell], { input: "kN;kN\n10;ten\n20;20;3\n" });
    expect([wrong.code, wrong.err.match(/line \d/g)]).toEqual([1, ["line 2", "line 3"]]);
    const nobody = await run(["certificate", "-", "--cell", "cel-none", "--json"], { input: "kN;kN\n1;1\n" });
    expect([nobody.code, nobody.json<Refusal>().problems[0]?.code]).toEqual([1, "BOOK_NOT_FOUND"]);
    const dated = await run(["certificate", "-", "--cell", cell, "--calibrated-on", "soon"], {
      input: "kN;kN\n1;1\n",
    });
    expect([dated.code, await points()]).toEqual([1, 3]);
  });
});

describe("calc", () => {
  const bookless = { env: { BITTEREND_BOOK: join(folder.path, "none.sqlite") } };

  test("lists what can be calculated", async () => {
    const { code, out } = await run(["calc"], bookless);
    expect(code).toBe(0);
    for (const name of ["tolerance-factor", "lower-bound", "summary", "convert"]) expect(out).toContain(name);
    const { json } = await run(["calc", "--json"], bookless);
    expect(
      json<{ name: string; input: object }[]>().find(({ name }) => name === "convert")?.input,
    ).toMatchObject({
      type: "object",
    });
  });

  test("answers JSON with JSON, from an argument and from the standard input", async () => {
    const input = '{"value": 1, "from": "kip", "to": "N"}';
    const byArgument = await run(["calc", "convert", input], bookless);
    const byInput = await run(["calc", "convert"], { ...bookless, input });
    // 1 kip = 1000 lbf = 4448.2216152605 N exactly (NIST SP 811, Appendix B).
    for (const { code, json, err } of [byArgument, byInput]) {
      expect([code, err]).toEqual([0, ""]);
      expect(json<{ value: number }>().value).toBeCloseTo(4448.2216152605, 9);
    }
  });

  test("refuses what it cannot compute, what is no JSON and what it does not know", async () => {
    const few = await run(
      ["calc", "tolerance-factor", '{"n": 1, "content": 0.95, "confidence": 0.95}'],
      bookless,
    );
    expect(few.code).toBe(1);
    expect(few.err).toMatch(/^Cannot calculate tolerance-factor\n[\s\S]*\[(STAT|INPUT)_\w+\]/);
    const broken = await run(["calc", "summary", "[1,", "--json"], bookless);
    expect([broken.code, broken.json<Refusal>().problems[0]?.code]).toEqual([1, "INPUT_JSON"]);
    const unknown = await run(["calc", "sumary", "{}"], bookless);
    expect(unknown.code).toBe(1);
    expect(unknown.err).toContain('Did you mean "summary"?');
  });

  test("without any input is wrong usage, and says what is wanted", async () => {
    const { code, out, err } = await run(["calc", "convert"], bookless);
    expect([code, out]).toEqual([2, ""]);
    expect(err).toContain("Example:\n  $ bitterend calc convert");
  });
});
