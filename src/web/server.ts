import { signal } from "@preact/signals";
import type { Problem, Warning } from "../problem/mod.ts";

/** What the server said: the value with its doubts, or problems with the HTTP status (0: nobody answered). */
export type Answer<T> =
  | { readonly ok: true; readonly value: T; readonly warnings: readonly Warning[] }
  | { readonly ok: false; readonly problems: readonly Problem[]; readonly status: number };

export type Method = "GET" | "POST" | "PUT" | "PATCH" | "DELETE";

/** Grows by one with each change made from this page; what is shown is then asked for again. */
export const changes = signal(0);

/**
 * Asks the local server. A FormData body goes as it is, anything else as JSON. Never throws, except where the caller
 * stopped it.
 *
 * @example
 * const answer = await ask<SeriesOverview>("GET", "/api/series/ser-1/overview");
 */
export async function ask<T>(
  method: Method,
  path: string,
  body?: unknown,
  options: { readonly signal?: AbortSignal; readonly quiet?: boolean } = {},
): Promise<Answer<T>> {
  let response: Response;
  try {
    response = await fetch(path, {
      method,
      ...(body === undefined
        ? {}
        : body instanceof FormData
          ? { body }
          : { body: JSON.stringify(body), headers: { "content-type": "application/json" } }),
      ...(options.signal === undefined ? {} : { signal: options.signal }),
    });
  } catch (error) {
    if (options.signal?.aborted === true) throw error;
    return { ok: false, status: 0, problems: [nobodyAnswered(path)] };
  }
  const answer = await readAnswer<T>(response);
  if (answer.ok && method !== "GET" && options.quiet !== true) changes.value += 1;
  return answer;
}

/** What a response of the server says, whatever it is. */
export async function readAnswer<T>(response: Response): Promise<Answer<T>> {
  if (response.status === 204) return { ok: true, value: null as T, warnings: [] };
  const said: unknown = await response.json().catch(() => undefined);
  if (typeof said === "object" && said !== null) {
    if (response.ok && "value" in said) {
      const warnings = "warnings" in said && Array.isArray(said.warnings) ? said.warnings : [];
      return { ok: true, value: said.value as T, warnings };
    }
    if ("problems" in said && Array.isArray(said.problems))
      return { ok: false, status: response.status, problems: said.problems };
  }
  return {
    ok: false,
    status: response.status,
    problems: [
      {
        code: "SERVER_NO_ANSWER",
        message: "The server's answer could not be read.",
        found: `HTTP ${response.status}`,
        wayOut: "Look at the window in which the program was started; it may say more.",
      },
    ],
  };
}

/** The problem where nothing came back. */
export function nobodyAnswered(path: string): Problem {
  return {
    code: "SERVER_NO_ANSWER",
    message: "The program on this computer did not answer. What you typed is still on this page.",
    found: path,
    wayOut: "See that it is still running, start it again where it is not, and try again.",
  };
}
