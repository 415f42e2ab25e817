import { beforeEach, describe, expect, it } from "vitest";
import { type App, maxPictureBytes, type StoredRecord } from "../../src/app/mod.ts";
import { add, openApp, problemOf, valueIn } from "./open-app.ts";

let app: App;
let series: StoredRecord<"series">;
beforeEach(async () => {
  ({ app } = await openApp());
  series = await add(app, "series", { title: "t" });
});

const text = (letters: string) => [...letters].map((letter) => letter.charCodeAt(0));
const addTo = (bytes: readonly number[] | Uint8Array, name = "throat.jpg") =>
  app.addPicture({ kind: "series", id: series.id }, name, Uint8Array.from(bytes), "the throat");

describe("pictures", () => {
  // The beginnings of real files, from the formats' own specifications; see recognise-picture.ts.
  it.each([
    ["image/jpeg", [0xff, 0xd8, 0xff, 0xe0, 0, 16, ...text("JFIF")]],
    ["image/jpeg", [0xff, 0xd8, 0xff, 0xe1, 0, 16, ...text("Exif")]],
    ["image/png", [0x89, ...text("PNG\r\n\u001a\n"), 0, 0, 0, 13, ...text("IHDR")]],
    ["image/gif", text("GIF89a")],
    ["image/gif", text("GIF87a")],
    ["image/webp", [...text("RIFF"), 36, 0, 0, 0, ...text("WEBPVP8 ")]],
    ["image/avif", [0, 0, 0, 28, ...text("ftypavif"), 0, 0, 0, 0, ...text("avifmif1miaf")]],
    ["image/avif", [0, 0, 0, 28, ...text("ftypmif1"), 0, 0, 0, 0, ...text("mif1avifmiaf")]],
  ])("knows %s by its bytes, whatever its name", async (mediaType, bytes) => {
    const picture = valueIn(await addTo(bytes, "photo.txt"));
    expect(picture).toMatchObject({
      mediaType,
      fileName: "photo.txt",
      caption: "the throat",
      sizeBytes: bytes.length,
    });
    const stored = valueIn(await app.picture(picture.id));
    expect(stored.picture).toEqual(picture);
    expect([...stored.bytes]).toEqual(bytes);
  });

  it.each([
    ["an SVG drawing", text('<?xml version="1.0"?><svg onload="x()">'), "SVG"],
    ["a bare SVG drawing", text("\n <SVG >"), "SVG"],
    ["a PDF", text("%PDF-1.7"), "a PDF document"],
    [
      "a telephone's own format",
      [0, 0, 0, 24, ...text("ftypheic"), 0, 0, 0, 0, ...text("mif1heic")],
      'a file of the brand "heic"',
    ],
    ["an empty file", [], "an empty file"],
    ["text", text("throat, after"), "a file that begins with the bytes 74 68 72 6f 61 74 2c 20"],
    [
      "a sound",
      [...text("RIFF"), 36, 0, 0, 0, ...text("WAVEfmt ")],
      "a file that begins with the bytes 52 49 46 46 24 00 00 00",
    ],
  ])("refuses %s", async (_, bytes, found) => {
    expect(problemOf(await addTo(bytes))).toMatchObject({
      code: "INPUT_PICTURE",
      found,
      where: { file: "throat.jpg" },
    });
    expect(valueIn(await app.overview(series.id)).pictures).toEqual([]);
  });

  it("takes a picture at the limit and refuses one above it", async () => {
    const bytes = new Uint8Array(maxPictureBytes + 1);
    bytes.set([0xff, 0xd8, 0xff]);
    expect(problemOf(await addTo(bytes))).toMatchObject({ code: "INPUT_PICTURE", found: "20000001 bytes" });
    valueIn(await addTo(bytes.subarray(0, maxPictureBytes)));
  });

  it("belongs to something that is there", async () => {
    const subject = { kind: "pull", id: "pul-none" } as const;
    expect(
      problemOf(await app.addPicture(subject, "a.jpg", Uint8Array.of(0xff, 0xd8, 0xff), "")),
    ).toMatchObject({
      code: "BOOK_NOT_FOUND",
    });
  });

  it("is shown with its series and can be removed", async () => {
    const picture = valueIn(await addTo([0xff, 0xd8, 0xff]));
    expect(valueIn(await app.overview(series.id)).pictures).toEqual([picture]);
    valueIn(await app.removePicture(picture.id));
    expect(problemOf(await app.removePicture(picture.id))).toMatchObject({ code: "BOOK_NOT_FOUND" });
    expect(problemOf(await app.picture(picture.id))).toMatchObject({ code: "BOOK_NOT_FOUND" });
  });
});
