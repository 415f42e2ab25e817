import type { Result } from "../../problem/mod.ts";
import type { Layout, LayoutHints, LayoutProposal, Reading, TraceWindow } from "../../trace/mod.ts";

/** What the page asks of the worker that reads a dropped file; `id` comes back with the answer. */
export type ToWorker =
  | { readonly id: number; readonly kind: "propose"; readonly file: File; readonly hints: LayoutHints }
  | { readonly id: number; readonly kind: "read"; readonly file: File; readonly layout: Layout }
  | {
      readonly id: number;
      readonly kind: "window";
      readonly fromRow: number;
      readonly toRow: number;
      readonly columns: number;
    };

export type FromWorker =
  | { readonly id: number; readonly kind: "progress"; readonly share: number; readonly rows: number }
  | { readonly id: number; readonly kind: "proposal"; readonly answer: Result<LayoutProposal> }
  | { readonly id: number; readonly kind: "reading"; readonly answer: Result<Reading> }
  | { readonly id: number; readonly kind: "window"; readonly window: TraceWindow | undefined }
  | { readonly id: number; readonly kind: "failed"; readonly message: string };
