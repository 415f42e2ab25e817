import type { Problem } from "../../problem/mod.ts";
import type { StoreWork } from "../store.ts";

/**
 * Why bytes cannot leave the book: a published report froze them by their hash, and its bundle hands them on. Nothing where
 * no report did.
 */
export async function publishedWith(
  book: Pick<StoreWork, "listReports" | "getReport">,
  seriesId: string,
  sha256: string,
): Promise<Problem | undefined> {
  for (const { id, number } of await book.listReports({ seriesId })) {
    const content = (await book.getReport(id))?.content;
    if (content?.includes(`"${sha256}"`) === true)
      return {
        code: "BOOK_IN_USE",
        message: `Report ${number} was published with this, and hands it on in its bundle; it stays.`,
        found: `report ${number}`,
        wayOut: "A report can be withdrawn, and a new revision published without this.",
      };
  }
  return undefined;
}
