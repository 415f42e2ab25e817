import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { judgeSeries, type PullToJudge } from "../../src/findings/mod.ts";
import { seriesFields } from "../../src/series/mod.ts";

/** Registers the test that judges the batch of real pulls (printed bars) as a series, from the index beside them. */
export function judgesTheBatch(index: string): void {
  test("the batch as a series: groups as cells give a sensible finding on spread and direction", () => {
    const [head = "", ...lines] = readFileSync(index, "utf8").trim().split(/\r?\n/);
    const at = (name: string) => head.split(",").indexOf(name);
    const pulls = lines.map((line, i): PullToJudge => {
      const cells = line.split(",");
      return {
        pullId: `p${i}`,
        specimenLabel: `p${i}`,
        levels: { group: cells[at("group")] ?? "", direction: cells[at("direction")] ?? "" },
        outcome: { kind: "broke", place: "" },
        strengthN: Number(cells[at("peak_N")]),
        strengthSource: "typed",
        warnings: [],
      };
    });
    const levels = (name: string) => [...new Set(pulls.map((pull) => pull.levels[name] ?? ""))];
    const factors = ["group", "direction"].map((name) => ({ name, unit: "", levels: levels(name) }));
    const shown = judgeSeries({ id: "batch", ...seriesFields.parse({ title: "Batch", factors }) }, pulls);
    expect(shown.pulls).toHaveLength(lines.length);
    const direction = shown.mattered.effects[1]?.effect;
    if (!direction?.ok) throw new Error(JSON.stringify(direction));
    // Of printed bars pulled across their layers and along them the latter are far stronger: counted here by plain means.
    const mean = (name: string) => {
      const own = pulls.filter((pull) => pull.levels["direction"] === name);
      return own.reduce((sum, { strengthN = 0 }) => sum + strengthN, 0) / own.length;
    };
    const [pair] = direction.value.pairs;
    expect(Math.sign(pair?.relative.value ?? 0)).toBe(
      Math.sign(mean(pair?.to ?? "") - mean(pair?.from ?? "")),
    );
    expect(direction.value.significance.p).toBeLessThan(0.001);
    const spread = shown.findings.find(({ id }) => id === "scatter")?.sentence ?? "";
    const percent = Number(/scatter by ([\d.]+) %/.exec(spread)?.[1]);
    expect(percent).toBeGreaterThan(1);
    expect(percent).toBeLessThan(40);
  });
}
