import { z } from "zod";
import { ok, type Result, refuse } from "../../problem/mod.ts";
import { checkInput } from "../check-input.ts";
import type { Effects } from "../contract.ts";
import type { PictureSubject, StoredPicture, StoreWork } from "../store.ts";
import { publishedWith } from "./published-with.ts";
import { recognisePicture } from "./recognise-picture.ts";
import { notFound, orTrouble, transact } from "./transact.ts";

/** A picture may have this many bytes: more than any photograph of a splice needs. */
export const maxPictureBytes = 20_000_000;

/** Stores a photograph of a pull, a specimen or the series. */
export async function addPicture(
  effects: Effects,
  subject: PictureSubject,
  fileName: string,
  bytes: Uint8Array,
  caption: string,
): Promise<Result<StoredPicture>> {
  const checked = checkInput(pictureFields, { subject, fileName, caption });
  if (!checked.ok) return checked;
  if (bytes.length > maxPictureBytes)
    return refuse({
      code: "INPUT_PICTURE",
      message: "The picture is larger than a picture may be.",
      where: { file: fileName },
      found: `${bytes.length} bytes`,
      expected: `at most ${maxPictureBytes / 1e6} MB`,
      wayOut: "Save it smaller or with more compression.",
    });
  const recognised = recognisePicture(bytes);
  if (!recognised.ok)
    return {
      ok: false,
      problems: recognised.problems.map((problem) => ({ ...problem, where: { file: fileName } })),
    };
  return transact(effects.store, async (book) => {
    const { kind, id } = checked.value.subject;
    if ((await book.get(kind, id)) === undefined) return refuse(notFound(kind, id));
    const picture: StoredPicture = {
      id: effects.newId("pic"),
      subject: { kind, id },
      fileName: checked.value.fileName,
      mediaType: recognised.value,
      sha256: effects.sha256([bytes]),
      sizeBytes: bytes.length,
      caption: checked.value.caption,
      addedAt: effects.now(),
    };
    await book.insertPicture(picture, bytes);
    return ok(picture);
  });
}

export async function getPicture(
  { store }: Effects,
  id: string,
): Promise<Result<{ readonly picture: StoredPicture; readonly bytes: Uint8Array }>> {
  return orTrouble(async () => {
    const found = await store.read.getPicture(id);
    return found === undefined ? refuse(notFound("picture", id)) : ok(found);
  });
}

export async function removePicture({ store }: Effects, id: string): Promise<Result<null>> {
  return transact(store, async (book) => {
    const found = await book.getPicture(id);
    if (found === undefined) return refuse(notFound("picture", id));
    const seriesId = await seriesOf(book, found.picture.subject);
    const frozen =
      seriesId === undefined ? undefined : await publishedWith(book, seriesId, found.picture.sha256);
    if (frozen !== undefined) return refuse(frozen);
    await book.removePicture(id);
    return ok(null);
  });
}

async function seriesOf(book: StoreWork, { kind, id }: PictureSubject): Promise<string | undefined> {
  return kind === "series" ? id : (await book.get(kind, id))?.seriesId;
}

const pictureFields = z.object({
  subject: z.object({ kind: z.enum(["pull", "specimen", "series"]), id: z.string().min(1) }),
  fileName: z.string().trim().min(1).max(1000),
  caption: z.string().trim().max(2000),
});
