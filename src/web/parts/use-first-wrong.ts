import { useEffect, useRef } from "preact/hooks";
import type { Problem } from "../../problem/mod.ts";

/** Brings the focus to the first field of a form that is marked wrong, each time the form is refused. */
export function useFirstWrong(problems: readonly Problem[]) {
  const form = useRef<HTMLFormElement>(null);
  useEffect(() => {
    if (problems.length > 0) form.current?.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus();
  }, [problems]);
  return form;
}
