import { useState } from "preact/hooks";
import type { Problem } from "../../problem/mod.ts";
import { ask } from "../server.ts";

/** Takes records of one kind out of the book; true where it did, else the problems stand. */
export function useTakeOut(kind: "claim" | "pooled-series") {
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  return {
    problems,
    takeOut: async (id: string): Promise<boolean> => {
      const answer = await ask<null>("DELETE", `/api/records/${kind}/${id}`);
      setProblems(answer.ok ? [] : answer.problems);
      return answer.ok;
    },
  };
}
