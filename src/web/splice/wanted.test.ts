import { expect, it } from "vitest";
import { readWanted, wantedText } from "./wanted.ts";

it("reads wanted lengths as they are typed", () => {
  // An inch is 25.4 mm and a pound-force 4.4482216152605 N by definition.
  for (const [typed, lengthMm, tensionN] of [
    ["600", 600, undefined],
    ["600 mm at 5 kN", 600, 5000],
    ["2 ft 3 in", 685.8, undefined],
    ["0.6 m @ 500 lbf", 600, 2224.1108],
  ] as const) {
    const answer = readWanted(typed);
    if (!answer.ok) throw new Error(typed);
    expect(answer.value.lengthMm).toBeCloseTo(lengthMm, 6);
    if (tensionN === undefined) expect(answer.value.tensionN).toBeUndefined();
    else expect(answer.value.tensionN).toBeCloseTo(tensionN, 3);
  }
});

it("keeps how the length is measured, and lets go of a tension that is no longer typed", () => {
  const before = { lengthMm: 500, measure: "pin centres", tensionN: 3000, farPinMm: 20 } as const;
  expect(readWanted("600", before)).toMatchObject({
    value: { lengthMm: 600, measure: "pin centres", farPinMm: 20 },
  });
  const answer = readWanted("600", before);
  expect(answer.ok && answer.value.tensionN).toBeUndefined();
});

it("says of which field a text is no length, and shows what it reads as it would be typed", () => {
  expect(readWanted("long")).toMatchObject({ ok: false, problems: [{ where: { field: "wanted" } }] });
  expect(readWanted("600 at noon")).toMatchObject({ ok: false, problems: [{ where: { field: "wanted" } }] });
  const answer = readWanted("600 mm at 5 kN");
  expect(answer.ok && wantedText(answer.value)).toBe("600 mm at 5 kN");
});
