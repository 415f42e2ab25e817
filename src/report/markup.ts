/** Text that is markup already and goes onto the page as it stands. Everything else is escaped. */
export class Markup {
  constructor(readonly text: string) {}
  toString(): string {
    return this.text;
  }
}

export type Part = string | number | Markup | readonly Part[] | undefined | false;

/**
 * Builds HTML or SVG; whatever is put between the pieces is escaped unless it was built this way itself, so that no
 * user text can become markup by being forgotten.
 *
 * @example
 * markup`<p>${"a < b"}</p>`.text // "<p>a &lt; b</p>"
 */
export function markup(pieces: TemplateStringsArray, ...parts: readonly Part[]): Markup {
  let text = pieces[0] ?? "";
  for (let at = 1; at < pieces.length; at++) text += written(parts[at - 1]) + pieces[at];
  return new Markup(text);
}

/** Escapes text for HTML and SVG, in an element or a quoted attribute; characters that neither may hold become U+FFFD. */
export function escapeText(text: string): string {
  // Most texts are figures and plain words; a look at them costs less than two replacements.
  if (!special.test(text)) return text;
  return unfitText(text).replace(/[&<>"']/g, (character) => entities[character] as string);
}

/** The text with a sign of replacement for each character that neither HTML nor SVG may hold. */
export function unfitText(text: string): string {
  return text.replace(unfit, "\uFFFD");
}

function written(part: Part): string {
  if (part === undefined || part === false) return "";
  if (part instanceof Markup) return part.text;
  if (typeof part === "string") return escapeText(part);
  if (typeof part === "number") return String(part);
  let text = "";
  for (const one of part as readonly Part[]) text += written(one);
  return text;
}

/** What does not stand as it is; looked for so, and not as a text of nothing else, in half the time. */
const special = /[^\t\n\r !#-%(-;=?-~]/;

/** Control characters but tab and line ends, lone surrogates, and the marks that turn the direction of what follows. */
const unfit =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are what must not pass
  /[\u0000-\u0008\u000B\u000C\u000E-\u001F\u007F-\u009F\u202A-\u202E\u2066-\u2069\uFFFE\uFFFF]|\p{Surrogate}/gu;

const entities: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
};
