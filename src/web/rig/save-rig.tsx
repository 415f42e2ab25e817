import type { StoredRecord } from "../../app/mod.ts";
import type { Warning } from "../../problem/mod.ts";
import type { AssessedRig } from "../../rig/mod.ts";

/** Saves the rig as one page that needs neither this book nor a network, to hand on or to print. */
export function SaveRig(props: {
  readonly rig: StoredRecord<"rig">;
  readonly assessed: AssessedRig;
  readonly warnings: readonly Warning[];
}) {
  const { rig, assessed, warnings } = props;

  async function save(): Promise<void> {
    const { renderRig } = await import("./rig-page.ts");
    const page = new Blob([renderRig(rig, assessed, warnings)], { type: "text/html" });
    const link = document.createElement("a");
    link.href = URL.createObjectURL(page);
    link.download = `${rig.name.replace(/[^\p{L}\p{N}]+/gu, "-").replace(/^-+|-+$/g, "") || "rig"}.html`;
    link.click();
    // The browser has taken the bytes once the click is through.
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  }

  return (
    <button type="button" onClick={() => void save()}>
      Save this rig as a page
    </button>
  );
}
