import type { FailurePlaces, ScatterPart, ScatterParts, SettlingShown } from "../effect-types.ts";
import { percentText } from "../rounding.ts";
import type { Finding } from "../types.ts";
import { counted, listed } from "../words.ts";
import { estimateText, pText, roughPercent, uncertaintyOf } from "./say.ts";

/** Where the scatter comes from. */
export function stateScatter(found: ScatterParts): Finding {
  const parts = found.parts.map((part) => {
    const where =
      part.groups === undefined ? part.name : `between ${counted(part.groups, part.name, manyOf(part.name))}`;
    return `${Math.round(100 * part.share)} % ${part.groups === undefined ? "from " : ""}${where} (${sdText(part)})`;
  });
  const without = found.without.length === 0 ? "" : `, the effect of ${listed(found.without)} taken out`;
  return {
    id: "scatter-parts",
    sentence: `Where the variance comes from${without}: ${listed(parts)}; n = ${found.n}.`,
    method:
      "Restricted maximum likelihood on logarithms, all kinds at once. Intervals: generalised pivot with the other kinds taken out; pull to pull by chi-squared.",
    pulls: found.pulls,
    warnings: found.warnings,
  };
}

function sdText({ sd, interval }: ScatterPart): string {
  if (!interval.ok) return `SD ${roughPercent(sd)} of the strength, no interval`;
  const [low, high] = interval.value;
  // An upper end above the strength itself says no more than that there is none.
  if (high > 1)
    return `SD ${roughPercent(sd)} of the strength, 95 % interval from ${roughPercent(low)} on, without a useful end`;
  return `SD ${roughPercent(sd)} of the strength, 95 % interval ${roughPercent(low).replace(" %", "")} to ${roughPercent(high)}`;
}

function manyOf(name: string): string {
  return name
    .split(" and ")
    .map((one) => `${one}s`)
    .join(" and ");
}

/** Whether the place of failure goes with the levels of a factor; nothing where there is no test. */
export function statePlaces({ factor, rows, test, pulls }: FailurePlaces): Finding[] {
  if (!test.ok || factor === "") return [];
  const { p, exact, tables } = test.value;
  const each = rows.flatMap(({ label, n, counts }) => {
    const [top] = [...counts].sort((a, b) => b.count - a.count);
    if (top === undefined) return [];
    const [low, high] = top.share.interval;
    return [
      `${top.place} at ${label} (${top.count} of ${n}; 95 % interval ${Math.round(100 * low)} to ${Math.round(100 * high)} %)`,
    ];
  });
  const count = tables.toLocaleString("en").replaceAll(",", " ");
  const how = `${pText(p)}, ${exact ? `exact over ${count} tables` : `by ${count} tables drawn at random`}`;
  return [
    {
      id: `places-by-${factor}`,
      sentence:
        p < 0.05
          ? `Where it failed goes with ${factor}: mostly ${listed(each)}; ${how}.`
          : `That the place of failure depends on ${factor} is not shown: mostly ${listed(each)}; ${how}.`,
      method:
        "Exact test of Fisher, Freeman and Halton: the share of all tables with the same sums that are no more probable than this one. Shares: Wilson's intervals.",
      pulls,
      warnings: [],
    },
  ];
}

/** How force settled at the holds. */
export function stateSettling(found: SettlingShown): Finding {
  const { mean, nextPull, bySize, perTenfoldForce: force, perTenfoldDiameter: size } = found;
  const u = uncertaintyOf(mean);
  const sizes =
    bySize.length > 1
      ? ` By size: ${listed(bySize.map((one) => `${one.diameterMm} mm ${estimateText(one.mean)}, n = ${one.n}`))}.`
      : "";
  const slopes = [
    ...(force.ok ? [`with ten times the force held it changes by ${pointsText(force.value)}`] : []),
    ...(size.ok ? [`with ten times the diameter by ${pointsText(size.value)}`] : []),
  ];
  return {
    id: "settling",
    sentence: `Held, the force falls by ${estimateText(mean)} of itself in each tenfold of time; the next pull's would lie between ${percentText(nextPull[0], u)} and ${percentText(nextPull[1], u)}; n = ${found.n}.${sizes}${slopes.length === 0 ? "" : ` As far as these pulls show, ${listed(slopes)}.`}`,
    method:
      "Each pull's own settling with its interval, pooled by random effects (restricted maximum likelihood, Hartung and Knapp); slopes weighed the same way. Rope that settles and a drive that leaks look alike.",
    pulls: found.pulls,
    warnings: [],
  };
}

/** A change of a share, in points of per cent. */
function pointsText(estimate: SettlingShown["mean"]): string {
  const u = uncertaintyOf(estimate);
  const points = (value: number) => percentText(value, u).replace(" %", "");
  return `${points(estimate.value)} points of per cent (95 % interval ${points(estimate.interval[0])} to ${points(estimate.interval[1])})`;
}
