import type { Problem } from "../../problem/mod.ts";

/**
 * What to say of an error of SQLite that is no fault of the program: a locked book, a full disk, a file that cannot be
 * written or is damaged. Undefined for every other error.
 */
export function sqliteTrouble(error: unknown, path: string): Problem | undefined {
  const code = (error as { code?: unknown } | null)?.code;
  if (typeof code !== "string" || !code.startsWith("SQLITE_")) return undefined;
  const about = { where: { file: path }, found: code } as const;
  // Extended codes go on after the plain one: SQLITE_IOERR_WRITE.
  switch (code.split("_")[1]) {
    case "BUSY":
    case "LOCKED":
      return {
        ...about,
        code: "BOOK_LOCKED",
        message: "Another program is writing to the book and did not finish in time.",
        wayOut: "Close the other program that has this book open, or try again.",
      };
    case "FULL":
      return {
        ...about,
        code: "BOOK_FULL",
        message: "There is no room left for the book to grow; nothing was stored.",
        wayOut: "Free some room on the disk, then try again.",
      };
    case "READONLY":
    case "CANTOPEN":
    case "PERM":
    case "IOERR":
      return {
        ...about,
        code: "BOOK_UNWRITABLE",
        message: "The book's file cannot be opened or written.",
        wayOut: "Check that the folder exists and that you may write in it, or name another book.",
      };
    case "CORRUPT":
      return {
        ...about,
        code: "BOOK_DAMAGED",
        message: "The book's file is damaged.",
        wayOut: "Take a copy of the file before anything else; then go back to a backup.",
      };
    case "NOTADB":
      return notABook(path, "a file that is no SQLite database");
    default:
      return undefined;
  }
}

export function notABook(path: string, found: string): Problem {
  return {
    code: "BOOK_NOT_A_BOOK",
    message: "This is not a book of this program; it was left as it is.",
    where: { file: path },
    found,
    expected: "a book of this program",
    wayOut: "Name another file; a new book is made where there is none.",
  };
}
