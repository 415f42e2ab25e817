/** What this browser remembers between visits: small choices of the reader, and what is typed and not in the book yet. */
export function recall(name: string): string | undefined {
  try {
    return localStorage.getItem(`bitterend.${name}`) ?? undefined;
  } catch {
    return undefined; // storage is switched off in this browser
  }
}

export function remember(name: string, value: string | undefined): void {
  try {
    if (value === undefined) localStorage.removeItem(`bitterend.${name}`);
    else localStorage.setItem(`bitterend.${name}`, value);
  } catch {
    // Storage is switched off: the choice then holds until the page is closed.
  }
}

/** What was typed before and not kept; undefined where there is none, or where something else wrote there. */
export function recallTyped<T>(name: string): T | undefined {
  try {
    return JSON.parse(recall(name) ?? "") as T;
  } catch {
    return undefined;
  }
}

export function rememberTyped(name: string, typed: object | undefined): void {
  remember(name, typed === undefined ? undefined : JSON.stringify(typed));
}
