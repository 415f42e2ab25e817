import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type TimeFormat, timeFormats } from "../layout.ts";
import { type LoggerDialect, layoutOf, loggerDialects } from "./dialect.ts";
import { simulatePull } from "./simulate-pull.ts";
import { writeRecording } from "./write-recording.ts";

// Exact by definition: NIST SP 811 (2008), Appendix B.8 (kgf 9.806 65 N; lbf 4.448 221 615 260 5 N).
const newtonsPer: Record<string, number> = { N: 1, kN: 1000, kgf: 9.80665, lbf: 4.4482216152605 };

const spec = {
  pull: {
    specimen: { breakN: 21_000, stiffnessNPerM: 600_000, toeM: 0.01, slackM: 0.01 },
    drive: { kind: "steady", speedMPerS: 0.01 },
    restS: 1,
    tailS: 2,
  },
  logger: {
    rateHz: 80,
    jitterS: 0.0005,
    capacityN: 50_000,
    bits: 20,
    noiseN: 6,
    offsetN: -40,
    driftNPerMinute: 3,
    displacement: true,
  },
} as const;
const startedAt = "2026-05-12T09:00:00.250Z";

/** Latin-1 by the book: each byte is a character. (The label would give another code page.) */
function textOf(bytes: Uint8Array, { encoding }: LoggerDialect): string {
  return encoding === "windows-1252"
    ? String.fromCharCode(...bytes)
    : new TextDecoder(encoding).decode(bytes);
}

describe.each(Object.values<LoggerDialect>(loggerDialects))("the dialect $name", (dialect) => {
  const answer = simulatePull({ ...spec, dialect, startedAt }, 3);
  if (!answer.ok) throw new Error("not simulated");
  const { bytes, samples } = answer.value;
  const layout = layoutOf(dialect);
  const lines = textOf(bytes, dialect).split(dialect.newline);
  const head = layout.preambleLines + Number(layout.headerRow) + Number(layout.unitRow);
  const rows = lines.slice(head, -1).map((line) => line.split(layout.separator));
  const number = (cell = "") => Number(layout.decimal === "," ? cell.replace(",", ".") : cell);

  it("gives back by a plain split what the logger took down", () => {
    expect(rows).toHaveLength(samples.timeS.length);
    const forceColumn = dialect.columns.find((column) => column.holds === "force");
    const decimals = forceColumn?.decimals ?? 0;
    const factor = newtonsPer[layout.force.unit] as number;
    for (const [row, cells] of rows.entries()) {
      const forceN = number(cells[layout.force.column - 1]) * factor;
      // Half a unit of the last written decimal, and rounding of the product.
      expect(Math.abs(forceN - (samples.forceN[row] as number))).toBeLessThan(
        0.5 * 10 ** -decimals * factor + 1e-7,
      );
      if (layout.time.kind !== "column") throw new Error("no time column");
      const cell = cells[layout.time.column - 1] as string;
      const timeS =
        layout.time.format === "date-time"
          ? (Date.parse(cell) - Date.parse(startedAt)) / 1000
          : number(cell) / (layout.time.format === "elapsed-ms" ? 1000 : 1);
      expect(Math.abs(timeS - (samples.timeS[row] as number))).toBeLessThan(0.001001); // a stamp is cut at the millisecond
      if (layout.displacement !== undefined) {
        const movedMm = number(cells[layout.displacement.column - 1]);
        expect(Math.abs(movedMm - 1000 * (samples.displacementM?.[row] as number))).toBeLessThan(0.00501);
      }
    }
  });

  it("gives the same bytes for the same seed", () => {
    const again = simulatePull({ ...spec, dialect, startedAt }, 3);
    expect(again.ok && again.value.bytes).toEqual(bytes);
  });

  it("opens as its layout says", () => {
    expect(lines.slice(0, layout.preambleLines)).toHaveLength(dialect.preamble.length);
    if (dialect.preamble.length > 0) expect(lines.slice(0, head).join("\n")).toContain("2026-05-12");
    if (layout.headerRow) {
      expect(lines[layout.preambleLines]?.replace("\uFEFF", "").split(layout.separator)).toEqual(
        layout.columnNames,
      );
    }
    expect(rows[0]).toHaveLength(layout.columnNames.length);
  });
});

describe("writeRecording", () => {
  const samples = { timeS: Float64Array.of(0, 0.01), forceN: Float64Array.of(1000, 2000) };

  it("writes the plain dialect letter by letter", () => {
    const text = new TextDecoder().decode(
      writeRecording(samples, loggerDialects.plain, "2026-05-12T09:00:00Z"),
    );
    expect(text).toBe("time_s,force_N\n0.000,1000.0\n0.010,2000.0\n");
  });

  it("writes UTF-16 with its mark, low byte first or high byte first", () => {
    const little = writeRecording(samples, loggerDialects.stamped, startedAt);
    const big = writeRecording(samples, { ...loggerDialects.stamped, encoding: "utf-16be" }, startedAt);
    expect([...little.subarray(0, 4)]).toEqual([0xff, 0xfe, 0x4c, 0x00]); // mark, then "L"
    expect([...big.subarray(0, 4)]).toEqual([0xfe, 0xff, 0x00, 0x4c]);
  });

  it("writes an umlaut in the old code page as one byte", () => {
    const bytes = writeRecording(samples, loggerDialects.continental, startedAt);
    expect([...bytes.subarray(0, 10)]).toEqual([..."Zugpr\u00fcfung"].map((c) => c.charCodeAt(0)));
  });

  it("leaves a displacement that was not taken down empty", () => {
    const text = textOf(
      writeRecording(samples, loggerDialects.continental, startedAt),
      loggerDialects.continental,
    );
    expect(text.split("\r\n")[6]).toBe("0,000;1,0000;");
  });

  it("writes each format of time", () => {
    // 1778576400 is 2026-05-12T09:00:00Z in Unix time: 20 585 days of 86 400 s, and 9 h.
    const second: Record<TimeFormat, string> = {
      "elapsed-s": "0.010",
      "elapsed-ms": "10",
      "elapsed-us": "10000",
      "epoch-s": "1778576400.010",
      "epoch-ms": "1778576400010",
      "epoch-us": "1778576400010000",
      "date-time": "2026-05-12T09:00:00.010Z",
      "time-of-day": "09:00:00.010",
    };
    for (const format of timeFormats) {
      const dialect: LoggerDialect = {
        ...loggerDialects.plain,
        columns: [
          { holds: "time", format, decimals: format.endsWith("-s") ? 3 : 0 },
          { holds: "force", unit: "kN", decimals: 1 },
        ],
      };
      const lines = new TextDecoder()
        .decode(writeRecording(samples, dialect, "2026-05-12T09:00:00Z"))
        .split("\n");
      expect(lines[2]).toBe(`${second[format]},2.0`);
    }
  });

  it("stamps each row as the clock of the language does, forward, backward and before 1970", () => {
    const dialect: LoggerDialect = {
      ...loggerDialects.plain,
      columns: [
        { holds: "time", format: "date-time", decimals: 0 },
        { holds: "force", unit: "kN", decimals: 1 },
      ],
    };
    const atS = fc.array(fc.double({ min: -1e9, max: 1e9, noNaN: true }), { minLength: 1, maxLength: 20 });
    fc.assert(
      fc.property(
        atS,
        fc.constantFrom("1970-01-01T00:00:00Z", "2026-05-12T09:00:00.123Z"),
        (times, start) => {
          const timeS = Float64Array.from(times);
          const text = textOf(writeRecording({ timeS, forceN: timeS.map(() => 0) }, dialect, start), dialect);
          const stamps = text.trim().split("\n").slice(1);
          expect(stamps.map((line) => line.split(",")[0])).toEqual(
            times.map((seconds) => new Date(Date.parse(start) + seconds * 1000).toISOString()),
          );
        },
      ),
    );
  });
});
