import { describe, expect, test } from "vitest";
import { bookPath } from "./book.ts";

describe("where the book lies", () => {
  const home = "/home/kim";

  // Linux: XDG Base Directory Specification 0.8. macOS and Windows: their own folders for a program's data.
  test.each([
    ["linux", {}, "/home/kim/.local/share/bitterend/book.sqlite"],
    ["linux", { XDG_DATA_HOME: "/data" }, "/data/bitterend/book.sqlite"],
    ["linux", { XDG_DATA_HOME: "" }, "/home/kim/.local/share/bitterend/book.sqlite"],
    ["linux", { XDG_DATA_HOME: "relative" }, "/home/kim/.local/share/bitterend/book.sqlite"],
    ["darwin", {}, "/home/kim/Library/Application Support/bitterend/book.sqlite"],
    ["win32", { APPDATA: "/roaming" }, "/roaming/bitterend/book.sqlite"],
    ["win32", {}, "/home/kim/AppData/Roaming/bitterend/book.sqlite"],
    ["linux", { BITTEREND_BOOK: "/books/loft.sqlite" }, "/books/loft.sqlite"],
    ["linux", { BITTEREND_BOOK: "" }, "/home/kim/.local/share/bitterend/book.sqlite"],
  ])("on %s with %j", (platform, env, expected) => {
    expect(bookPath(undefined, { platform, env, home })).toBe(expected);
  });

  test("an option goes before everything", () => {
    expect(bookPath("/a/b.sqlite", { platform: "linux", env: { BITTEREND_BOOK: "/c" }, home })).toBe(
      "/a/b.sqlite",
    );
  });
});
