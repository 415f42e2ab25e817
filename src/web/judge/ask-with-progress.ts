import { type Answer, nobodyAnswered, readAnswer } from "../server.ts";

/**
 * Asks for something that takes a while, and hears how far it is: from 0 to 1. Never throws, except where the caller
 * stopped it; the server then stops its work too.
 *
 * @example
 * const answer = await askWithProgress<SeriesSlipOrBreak>(path, { signal, onProgress: (done) => setDone(done) });
 */
export async function askWithProgress<T>(
  path: string,
  about: { readonly signal: AbortSignal; readonly onProgress: (done: number) => void },
): Promise<Answer<T>> {
  try {
    const response = await fetch(path, { headers: { accept: "text/event-stream" }, signal: about.signal });
    const isEvents = response.headers.get("content-type")?.startsWith("text/event-stream") === true;
    if (!isEvents || response.body === null) return await readAnswer<T>(response);
    for await (const { event, data } of eventsOf(response.body)) {
      if (event === "progress") about.onProgress((data as { readonly done: number }).done);
      if (event === "answer") return { ok: true, ...(data as Pick<Answered<T>, "value" | "warnings">) };
      if (event === "refused") return { ok: false, status: 400, problems: (data as Refused).problems };
    }
  } catch (error) {
    if (about.signal.aborted) throw error;
  }
  return { ok: false, status: 0, problems: [nobodyAnswered(path)] };
}

type Answered<T> = Extract<Answer<T>, { ok: true }>;
type Refused = Extract<Answer<unknown>, { ok: false }>;

/** The events of a stream one by one: each has a line with its name and one with its data, and ends with an empty one. */
export async function* eventsOf(
  body: ReadableStream<Uint8Array>,
): AsyncGenerator<{ readonly event: string; readonly data: unknown }> {
  const reader = body.getReader();
  const decoder = new TextDecoder();
  let text = "";
  try {
    for (;;) {
      const { done, value } = await reader.read();
      text += done ? decoder.decode() : decoder.decode(value, { stream: true });
      const whole = text.split("\n\n");
      text = whole.pop() ?? "";
      for (const one of whole) {
        const event = /^event: (.*)$/m.exec(one)?.[1];
        const data = /^data: (.*)$/m.exec(one)?.[1];
        if (event !== undefined && data !== undefined) yield { event, data: JSON.parse(data) };
      }
      if (done) return;
    }
  } finally {
    // Where the rest is not wanted the server is told so.
    await reader.cancel().catch(() => {});
  }
}
