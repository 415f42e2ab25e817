import { type Row, shares, sizes } from "./cells.ts";
import { laws } from "./laws.ts";
import { subjects } from "./subjects.ts";
import { coverage } from "./write.ts";

/** A place on a method's page where its figures are drawn: from the comment that names its statements to the one that ends it. */
const place = /<!-- coverage: ([^>]+?) -->\n[\s\S]*?<!-- end -->/g;

/** The page with each of its places drawn anew from the table. A page without a place comes back as it is. */
export function drawPlaces(page: string, rows: readonly Row[]): string {
  return page.replace(place, (_, named: string) => {
    const names = named.split("; ");
    const unknown = names.filter((name) => !subjects.some((subject) => subject.name === name));
    if (unknown.length > 0) throw new Error(`There is no statement ${unknown.join(", ")}.`);
    return [`<!-- coverage: ${named} -->`, tableOf(names, rows), "<!-- end -->"].join("\n");
  });
}

/**
 * One table of per cents: complete draws of every population, and draws with stopped pulls of those where the assumption
 * holds. Of a bound the stricter target stands for both, and of the Weibull laws one for all.
 */
function tableOf(names: readonly string[], rows: readonly Row[]): string {
  const lines = names.flatMap((name) => {
    const subject = subjects.find((one) => one.name === name);
    if (subject === undefined) return [];
    const targets = subject.targets.filter(({ name: target }) => target !== "90 % above");
    return targets.flatMap((target) => {
      const own = rows.filter((row) => row.subject === name && row.target === target.name);
      const nominal = sizes.map((n) => own.find((row) => row.n === n)?.nominal);
      const label = targets.length > 1 ? `${name}: ${target.name}` : name;
      const claims = `| ${label} | claims | | ${nominal.map(percent).join(" | ")} |`;
      const others = laws
        .filter((law) => law.name !== "Weibull 10" && law.name !== "Weibull 40")
        .flatMap((law) =>
          shares.flatMap((share) => {
            const of = own.filter((row) => row.law === law.name && row.share === share);
            const isOwn = subject.holds(law, share, target.name);
            if (of.length === 0 || (share > 0 && !isOwn)) return [];
            const cells = sizes.map((n) => cellOf(of.find((row) => row.n === n)));
            return [`| | ${law.name}${isOwn ? " *" : ""} | ${100 * share} % | ${cells.join(" | ")} |`];
          }),
        );
      return others.length === 0 ? [] : [claims, ...others];
    });
  });
  return [
    "",
    `| | population | stopped | ${sizes.map((n) => `n = ${n}`).join(" | ")} |`,
    `|---|---|---|${sizes.map(() => "---|").join("")}`,
    ...lines,
    "",
    "Per cent of the draws; * where the assumption holds; - where every draw was refused. From [coverage](coverage.md).",
    "",
  ].join("\n");
}

function cellOf(row: Row | undefined): string {
  if (row === undefined) return "";
  return row.draws === row.refused ? "-" : (100 * coverage(row).share).toFixed(1);
}

function percent(share: number | undefined): string {
  return share === undefined ? "" : (100 * share).toFixed(1);
}
