import { drawRecording, parseRecording } from "../../src/trace/mod.ts";
import { type EndFacts, endFeatures } from "../../src/trace/pull/outcome.ts";
import { readTrace } from "../../src/trace/read-trace.ts";

// Finds the weights of rule R-OUTCOME (src/trace/pull/outcome.ts): multinomial logistic regression of how a pull ended on the
// features of its end, on recordings of seeds that the benchmark does not use. Prints them, with how well they tell the
// ends of other recordings: how many are right, Brier's score, and how often what was said with a probability was so.
// npx esbuild test/accuracy/fit-outcome.ts --bundle --platform=node --format=esm | node --input-type=module

const toFit = { firstSeed: 900_000_001, recordings: 4000 };
const toTell = { firstSeed: 930_000_001, recordings: 1500 };
const outcomes = ["broke", "slipped", "stopped"] as const;
type Case = { readonly features: readonly number[]; readonly outcome: number };

const cases = endsOf(toFit);
const found = fitWeights(cases);
console.log(`${cases.length} ends`);
outcomes.slice(0, 2).forEach((name, at) => {
  console.log(`  ${name}: [${(found[at] as number[]).map((weight) => weight.toFixed(3)).join(", ")}],`);
});
tell(endsOf(toTell));

function endsOf({ firstSeed, recordings }: typeof toFit): Case[] {
  const ended: Case[] = [];
  for (let seed = firstSeed; seed < firstSeed + recordings; seed++) {
    const drawn = drawRecording(seed);
    if (!drawn.truth.isForce) continue;
    const parsed = parseRecording(drawn.bytes, drawn.layout);
    if (!parsed.ok) continue;
    const ends: EndFacts[] = [];
    const reading = readTrace(parsed.value.trace, {
      layout: drawn.layout,
      onEnd: (facts) => ends.push(facts),
    });
    const truths = drawn.truth.pulls.filter((pull) => !pull.endCut);
    // Only where each pull was found and its end seen is it known which end is whose.
    if (reading.pulls.length !== drawn.truth.pulls.length || ends.length !== truths.length) continue;
    truths.forEach((pull, at) => {
      const outcome = outcomes.indexOf(pull.outcome as (typeof outcomes)[number]);
      if (outcome >= 0) ended.push({ features: endFeatures(ends[at] as EndFacts), outcome });
    });
  }
  return ended;
}

function tell(others: readonly Case[]): void {
  const bins = Array.from({ length: 10 }, () => ({ count: 0, said: 0, was: 0 }));
  let squares = 0;
  let right = 0;
  for (const { features, outcome } of others) {
    const shares = sharesOf(found, features);
    if (shares.indexOf(Math.max(...shares)) === outcome) right++;
    shares.forEach((share, at) => {
      const was = at === outcome ? 1 : 0;
      squares += (share - was) ** 2;
      const bin = bins[Math.min(9, Math.floor(10 * share))] as (typeof bins)[number];
      bin.count++;
      bin.said += share;
      bin.was += was;
    });
  }
  console.log(`${others.length} other ends: right ${((100 * right) / others.length).toFixed(2)} %, `);
  console.log(`Brier's score ${(squares / others.length).toFixed(4)}; said on average, and was so:`);
  for (const { count, said, was } of bins)
    if (count > 0)
      console.log(
        `  ${count}: ${((100 * said) / count).toFixed(1)} %, ${((100 * was) / count).toFixed(1)} %`,
      );
}

/** Newton's method with a light ridge, which keeps the weights finite where the ends part cleanly. */
function fitWeights(all: readonly Case[]): number[][] {
  const size = (all[0]?.features.length ?? 0) * 2;
  const half = size / 2;
  const ridge = 0.002;
  let weights = new Array<number>(size).fill(0);
  for (let round = 0; round < 60; round++) {
    const gradient = weights.map((weight) => -ridge * weight);
    const bend = Array.from({ length: size }, (_, row) =>
      Array.from({ length: size }, (__, column) => (row === column ? ridge : 0)),
    );
    for (const { features, outcome } of all) {
      const shares = sharesOf([weights.slice(0, half), weights.slice(half)], features);
      for (let row = 0; row < size; row++) {
        const [k, i] = [Math.floor(row / half), row % half];
        const share = shares[k] as number;
        (gradient[row] as number) += ((outcome === k ? 1 : 0) - share) * (features[i] as number);
        for (let column = 0; column < size; column++) {
          const [l, j] = [Math.floor(column / half), column % half];
          const mixed = share * ((k === l ? 1 : 0) - (shares[l] as number));
          ((bend[row] as number[])[column] as number) +=
            mixed * (features[i] as number) * (features[j] as number);
        }
      }
    }
    const step = solve(bend, gradient);
    const longest = Math.max(...step.map(Math.abs));
    weights = weights.map((weight, at) => weight + (step[at] as number) * Math.min(1, 5 / longest));
    if (longest < 1e-6) break;
  }
  return [weights.slice(0, half), weights.slice(half)];
}

function sharesOf(rows: readonly (readonly number[])[], features: readonly number[]): number[] {
  const scores = [
    ...rows.map((row) => row.reduce((sum, weight, at) => sum + weight * (features[at] as number), 0)),
    0,
  ];
  const highest = Math.max(...scores);
  const raw = scores.map((score) => Math.exp(score - highest));
  const total = raw.reduce((sum, value) => sum + value, 0);
  return raw.map((value) => value / total);
}

/** Gaussian elimination with pivots. */
function solve(matrix: number[][], right: readonly number[]): number[] {
  const rows = matrix.map((row, at) => [...row, right[at] as number]);
  const size = rows.length;
  for (let at = 0; at < size; at++) {
    let pivot = at;
    for (let row = at; row < size; row++)
      if (Math.abs(rows[row]?.[at] as number) > Math.abs(rows[pivot]?.[at] as number)) pivot = row;
    [rows[at], rows[pivot]] = [rows[pivot] as number[], rows[at] as number[]];
    const top = rows[at] as number[];
    for (let row = 0; row < size; row++) {
      if (row === at) continue;
      const factor = (rows[row]?.[at] as number) / (top[at] as number);
      for (let column = at; column <= size; column++)
        ((rows[row] as number[])[column] as number) -= factor * (top[column] as number);
    }
  }
  return rows.map((row, at) => (row[size] as number) / (row[at] as number));
}
