import { useEffect, useRef, useState } from "preact/hooks";
import {
  type BuryPlan,
  type BuryPlanInput,
  checkBuryPlan,
  combineBuryPlan,
  type SimulatedBury,
  simulateBuryPlan,
  usualSeries,
} from "../../findings/mod.ts";
import type { Problem } from "../../problem/mod.ts";

export type Simulated = {
  readonly of: string;
  readonly plans: readonly BuryPlan[];
};

/**
 * Plans tried against the assumed truth, one simulated series after another: between two the page is free, so that it stays
 * alive and the run can be stopped. The same plans and seed give the same answer.
 */
export function useSimulation() {
  const [done, setDone] = useState<Simulated>();
  const [progress, setProgress] = useState<{ readonly made: number; readonly of: number }>();
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const running = useRef(0);
  useEffect(
    () => () => {
      running.current++;
    },
    [],
  );

  async function run(inputs: readonly BuryPlanInput[], key: string): Promise<void> {
    const mine = ++running.current;
    const wrong = inputs.flatMap((input) => {
      const checked = checkBuryPlan(input);
      return checked.ok ? [] : checked.problems;
    });
    setProblems(wrong);
    if (wrong.length > 0) return;
    const total = inputs.reduce((sum, { series = usualSeries }) => sum + series, 0);
    const plans: BuryPlan[] = [];
    let made = 0;
    for (const input of inputs) {
      const rows: SimulatedBury[] = [];
      for (let at = 0; at < (input.series ?? usualSeries); at++) {
        rows.push(...simulateBuryPlan(input, at, at + 1));
        made++;
        setProgress({ made, of: total });
        await new Promise((resolve) => setTimeout(resolve));
        if (running.current !== mine) return;
      }
      plans.push(combineBuryPlan(input, rows));
    }
    setProgress(undefined);
    setDone({ of: key, plans });
  }

  function stop(): void {
    running.current++;
    setProgress(undefined);
  }

  return { done, progress, problems, run, stop };
}
