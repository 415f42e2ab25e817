import { expect, test } from "vitest";
import { closestName } from "./closest-name.ts";

test.each([
  ["burry", "bury"],
  ["buryfullmm", "buryFullMm"],
  ["nominalDiametreMm", "nominalDiameterMm"],
  ["tolerence-factor", "tolerance-factor"],
  ["lgs", "legs"],
  ["elgs", "legs"],
])("%s is %s", (name, meant) => {
  const known = ["legs", "bury", "buryFullMm", "nominalDiameterMm", "tolerance-factor", "summary"];
  expect(closestName(name, known)).toBe(meant);
});

test.each(["colour", "x", ""])("%s is none of them", (name) => {
  expect(closestName(name, ["legs", "bury", "summary"])).toBeUndefined();
});
