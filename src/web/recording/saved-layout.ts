import type { ProposedLayout } from "../../app/mod.ts";
import { layoutHeadBytes } from "../../trace/mod.ts";
import { ask } from "../server.ts";

/** The layout in the book that fits a file, where the server knows one; a server that is silent knows none. */
export async function savedLayoutFor(file: File): Promise<ProposedLayout | undefined> {
  const form = new FormData();
  form.append("totalBytes", String(file.size));
  form.append("file", file.slice(0, layoutHeadBytes), file.name);
  const answer = await ask<ProposedLayout>("POST", "/api/layout-proposals", form, { quiet: true });
  return answer.ok && answer.value.saved !== undefined ? answer.value : undefined;
}
