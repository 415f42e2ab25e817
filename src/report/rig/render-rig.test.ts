import { expect, test } from "vitest";
import { assessRig, rigFields } from "../../rig/mod.ts";
import { renderRig } from "../mod.ts";

const rig = rigFields.parse({
  name: "Raft <1>",
  load: { kind: "choke", loadN: 5000, chokeDeg: 60 },
  overTime: "A week in the sun",
  parts: [
    {
      name: "strop & eye",
      kind: "webbing",
      place: "in each leg",
      strength: { from: "rating", ratedN: 40_000, source: "its maker" },
    },
  ],
});

test("a rig is one page that asks for nothing, with its figures, its cautions and what is not in it", () => {
  const answer = assessRig(rig, []);
  if (!answer.ok) throw new Error(JSON.stringify(answer.problems));
  const page = renderRig(rig, answer.value, answer.warnings);
  expect(page).toContain("<h1>Raft &lt;1&gt;</h1>");
  expect(page).toContain("strop &amp; eye");
  expect(page).not.toMatch(/<script|<link|https?:\/\/(?!www\.w3\.org)/);
  // 40 kN over 5 kN · √3 = 8.660 kN is 4.6.
  expect(page).toMatch(/<td class="num">5(\.0+)? kN to 8\.660? kN<\/td>/);
  expect(page).toContain('<td class="num">4.6</td>');
  expect(page).toContain('<td class="num">100 %</td>');
  for (const said of ["Never for people", "A week in the sun", "by its maker", "bends over its own body"])
    expect(page).toContain(said);
  expect(page.replace("Nothing here is called safe", "")).not.toMatch(/\bsafe\b/i);
});
