import { ok, type Result, refuse } from "../../problem/mod.ts";
import { renderReport } from "../../report/mod.ts";
import type { Effects } from "../contract.ts";
import type { StoredReport } from "../store.ts";
import { reportInput } from "./report-input.ts";
import type { SlipOrBreakWork } from "./slip-or-break.ts";
import type { TraceCache } from "./trace-cache.ts";
import { notFound, orTrouble, transact } from "./transact.ts";

/** The report as it would be published now. */
export async function previewReport(
  effects: Effects,
  traces: TraceCache,
  slips: SlipOrBreakWork,
  seriesId: string,
): Promise<Result<string>> {
  return orTrouble(async () => {
    const input = await reportInput(effects, traces, slips, seriesId);
    return input.ok ? ok(renderReport(input.value), input.warnings) : input;
  });
}

/** Freezes the report under the series' next number. */
export async function publishReport(
  effects: Effects,
  traces: TraceCache,
  slips: SlipOrBreakWork,
  seriesId: string,
): Promise<Result<StoredReport>> {
  return orTrouble(async () => {
    const input = await reportInput(effects, traces, slips, seriesId);
    if (!input.ok) return input;
    // The number is taken and the page made inside the transaction, so that no two pages get the same number.
    return transact(effects.store, async (book) => {
      const number =
        1 + Math.max(0, ...(await book.listReports({ seriesId })).map((report) => report.number));
      const publishedAt = effects.now();
      const html = renderReport({ ...input.value, revision: { number, publishedAt } });
      const report: StoredReport = {
        id: effects.newId("rep"),
        seriesId,
        number,
        publishedAt,
        title: input.value.series.title,
        sha256: effects.sha256([new TextEncoder().encode(html)]),
        note: "",
        changes: [],
      };
      await book.insertReport(report, html);
      return ok(report, input.warnings);
    });
  });
}

export async function getReport(
  { store }: Effects,
  id: string,
): Promise<Result<{ readonly report: StoredReport; readonly html: string }>> {
  return orTrouble(async () => {
    const found = await store.read.getReport(id);
    return found === undefined ? refuse(notFound("report", id)) : ok(found);
  });
}
