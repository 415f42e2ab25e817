import { expect, test } from "vitest";
import { eventsOf } from "./ask-with-progress.ts";

// The format of events is that of the HTML Living Standard, 9.2.5: fields on lines, an empty line ends an event.

test("events come whole, wherever the bytes were cut, also within a letter", async () => {
  const text = 'event: progress\ndata: {"done":0.5}\n\nevent: answer\ndata: {"value":"½ d"}\n\n';
  const bytes = new TextEncoder().encode(text);
  for (let size = 1; size <= bytes.length; size += 3) {
    const body = new ReadableStream<Uint8Array>({
      start(controller) {
        for (let from = 0; from < bytes.length; from += size)
          controller.enqueue(bytes.slice(from, from + size));
        controller.close();
      },
    });
    const heard = [];
    for await (const event of eventsOf(body)) heard.push(event);
    expect(heard).toEqual([
      { event: "progress", data: { done: 0.5 } },
      { event: "answer", data: { value: "½ d" } },
    ]);
  }
});

test("an event that was cut off is none", async () => {
  const body = new Blob(['event: progress\ndata: {"done":1}\n\nevent: answer\ndata: {"val']).stream();
  const heard = [];
  for await (const event of eventsOf(body)) heard.push(event);
  expect(heard).toEqual([{ event: "progress", data: { done: 1 } }]);
});
