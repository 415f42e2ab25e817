import { describe, expect, test } from "vitest";
import type { PullOnFilm } from "../../app/mod.ts";
import { forceOnFilm, momentOf, offsetByClock, offsetByMoment, stretchOnFilm } from "./on-film.ts";

// A ramp of 1 kN in each second from second 100 on, which breaks at 110; no sample at 103.
const pull: PullOnFilm = {
  timesS: Array.from({ length: 15 }, (_, at) => 100 + at),
  forcesN: Array.from({ length: 15 }, (_, at) => (at === 3 ? null : at <= 10 ? at * 1000 : 0)),
  moments: { start: 100, peak: 110, break: 110, end: 111 },
  phases: [
    { fromS: 100, toS: 110, name: "ramp" },
    { fromS: 110, toS: 111, name: "collapse" },
  ],
  firstS: 90,
  startedAt: "2026-03-14T10:00:00Z",
};

describe("a pull in its film", () => {
  test("has its force, the highest so far and its phase at each moment", () => {
    expect(momentOf(pull, 105.5)).toEqual({ forceN: 5000, highestN: 5000, phase: "pulling", passed: 6 });
    expect(momentOf(pull, 110.2)).toMatchObject({ forceN: 10_000, phase: "gives way" });
    expect(momentOf(pull, 112)).toEqual({ forceN: 0, highestN: 10_000, passed: 13 });
  });

  test("has no force before it, after it, and where no sample lies", () => {
    expect(momentOf(pull, 99)).toEqual({ passed: 0 });
    expect(momentOf(pull, 103.5).forceN).toBeUndefined();
    expect(momentOf(pull, 103.5).highestN).toBe(2000);
    expect(momentOf(pull, 200)).toMatchObject({ highestN: 10_000, passed: 15 });
    expect(momentOf(pull, 200).forceN).toBeUndefined();
  });

  test("lies where the break was marked", () => {
    const offset = offsetByMoment(pull, "break", 42);
    // The break, at 110 of the recording, is the film's second 42.
    expect(momentOf(pull, 42 - offset).highestN).toBe(10_000);
    expect(stretchOnFilm(pull, offset)).toEqual({ fromS: 31, toS: 45 });
  });

  test("lies by the clock where the hour says", () => {
    // The first sample, at 90, was taken at 10:00:00; a film begun at 09:59:50 shows it in its second 10.
    expect(offsetByClock(pull, "2026-03-14T09:59:50Z")).toBe(10 - 90);
    expect(offsetByClock({ ...pull, startedAt: "" }, "2026-03-14T09:59:50Z")).toBeUndefined();
    expect(offsetByClock(pull, "yesterday")).toBeUndefined();
  });

  test("is told in as many digits as can be read: 10 kN in hundredths, 2248 lbf whole", () => {
    // 10 kN = 2248.09 lbf (NIST SP 811).
    expect(forceOnFilm(10_000, 10_000, "kN")).toBe("10.00 kN");
    expect(forceOnFilm(10_000, 10_000, "lbf")).toBe("2248 lbf");
    expect(forceOnFilm(-0.2, 10_000, "kN")).toBe("0.00 kN");
  });
});
