/** What this browser remembers between visits: small choices of the reader, never anything of the book. */
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
