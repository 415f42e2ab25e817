import type { Random } from "../../stats/mod.ts";
import { type ForceUnit, newtons, toForceUnit } from "../../units/mod.ts";
import { chance, oneOf } from "./chances.ts";
import type { DialectColumn, LoggerDialect } from "./dialect.ts";

type Time = Extract<DialectColumn, { holds: "time" }>;

/** What a file must be able to say. */
export type DialectNeeds = {
  readonly rateHz: number;
  /** Forces are written at least this finely, in newtons. */
  readonly resolutionN: number;
  /** Left out: any. */
  readonly unit?: ForceUnit;
  readonly displacement: boolean;
  readonly segments: boolean;
};

/** A logger's dialect, fine enough for what is to be written; one in ten has no header, and some say no unit. */
export function drawDialect(random: Random, needs: DialectNeeds): LoggerDialect {
  const drawn = oneOf<ForceUnit>(random, [
    [45, "kN"],
    [25, "N"],
    [14, "lbf"],
    [10, "kgf"],
    [6, "daN"],
  ]);
  const unit = needs.unit ?? drawn;
  const time = drawTime(random, needs.rateHz);
  const continental = chance(random, 0.2);
  const separator = continental
    ? ";"
    : oneOf<LoggerDialect["separator"]>(random, [
        [65, ","],
        [20, "\t"],
        [15, ";"],
      ]);
  const columns: DialectColumn[] = [
    time,
    { holds: "force", unit, decimals: decimalsFor(needs.resolutionN, unit) },
  ];
  if (needs.displacement) columns.push({ holds: "displacement", unit: "mm", decimals: 3 });
  if (needs.segments) columns.push({ holds: "segment" });
  const bare = chance(random, 0.1) && !needs.displacement && !needs.segments;
  const encoding = oneOf<LoggerDialect["encoding"]>(random, [
    [80, "utf-8"],
    [10, "windows-1252"],
    [6, "utf-16le"],
    [4, "utf-16be"],
  ]);
  const unitRow = !bare && chance(random, 0.12);
  const names = columns.map((column) => drawName(random, column, unitRow));
  return {
    name: "drawn",
    encoding,
    byteOrderMark: encoding.startsWith("utf-16") || (encoding === "utf-8" && chance(random, 0.15)),
    newline: chance(random, 0.5) ? "\n" : "\r\n",
    separator,
    decimal: continental ? "," : ".",
    preamble: chance(random, 0.15)
      ? ["Load log", `Started${separator}{date} {time}`, `Cell${separator}bench 1`]
      : [],
    columns,
    missingWord: oneOf(random, [
      [40, ""],
      [30, "NA"],
      [30, "NaN"],
    ]),
    ...(bare ? {} : { header: names }),
    ...(unitRow ? { unitRow: columns.map(unitOf) } : {}),
  };
}

/** A format whose steps are fine enough for the rate, so that no two rows share a stamp. */
function drawTime(random: Random, rateHz: number): Time {
  const seconds = rateHz <= 200 ? 3 : rateHz <= 1000 ? 4 : 6;
  if (rateHz > 250)
    return oneOf<Time>(random, [
      [70, { holds: "time", format: "elapsed-s", decimals: seconds }],
      [20, { holds: "time", format: "elapsed-us", decimals: 0 }],
      [10, { holds: "time", format: "epoch-us", decimals: 0 }],
    ]);
  return oneOf<Time>(random, [
    [50, { holds: "time", format: "elapsed-s", decimals: seconds }],
    [20, { holds: "time", format: "elapsed-ms", decimals: 0 }],
    [14, { holds: "time", format: "date-time", decimals: 3 }],
    [6, { holds: "time", format: "epoch-ms", decimals: 0 }],
    [5, { holds: "time", format: "epoch-s", decimals: 3 }],
    [5, { holds: "time", format: "time-of-day", decimals: 3 }],
  ]);
}

function drawName(random: Random, column: DialectColumn, unitRow: boolean): string {
  const pick = (names: readonly string[]): string => names[random.below(names.length)] as string;
  if (column.holds === "segment") return pick(["Pull", "pull", "Specimen"]);
  if (column.holds === "displacement")
    return unitRow ? "Travel" : pick(["Travel (mm)", "disp_mm", "Weg [mm]"]);
  if (column.holds === "force") {
    const name = pick(["Force", "Load", "Kraft", "force"]);
    return unitRow
      ? name
      : pick([`${name} (${column.unit})`, `${name} [${column.unit}]`, `${name}_${column.unit}`, name]);
  }
  if (column.format.startsWith("elapsed-")) {
    const unit = unitOf(column);
    return unitRow ? "Time" : pick([`time_${unit}`, `Time (${unit})`, `t [${unit}]`, "Time"]);
  }
  return pick(["Timestamp", "Time", "datetime"]);
}

function unitOf(column: DialectColumn): string {
  if (column.holds === "segment") return "";
  if (column.holds !== "time") return column.unit;
  return column.format.startsWith("elapsed-") ? column.format.slice("elapsed-".length) : "";
}

/** As many decimals as a resolution in newtons needs in a unit, at most six. */
function decimalsFor(resolutionN: number, unit: ForceUnit): number {
  return Math.min(6, Math.max(0, Math.ceil(-Math.log10(toForceUnit(newtons(resolutionN), unit)))));
}
