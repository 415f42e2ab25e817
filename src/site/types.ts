/** One published revision of a report, as the book keeps it. */
export type SiteRevision = {
  readonly number: number;
  readonly publishedAt: string;
  readonly title: string;
  /** SHA-256 of the page's bytes as it was published. */
  readonly sha256: string;
  /** Why it was published, in the tester's words; may be empty. */
  readonly note: string;
  /** What changed since the revision before, a sentence each. */
  readonly changes: readonly string[];
  readonly withdrawn?: { readonly at: string; readonly reason: string };
};

/** A revision with what is in it. */
export type SitePage = {
  readonly revision: SiteRevision;
  /** The page as it was frozen. */
  readonly html: string;
  /** Its bundle, where there is one. */
  readonly bundle?: Uint8Array;
};

/** What the list of all reports says of one; kept beside the site, so that an unchanged report need not be read again. */
export type SiteEntry = {
  readonly seriesId: string;
  readonly title: string;
  readonly tester: string;
  readonly simulated: boolean;
  readonly sentences: readonly string[];
  /** Oldest first. */
  readonly revisions: readonly SiteRevision[];
  /** The book no longer has it. */
  readonly gone?: true;
};

/** A file of the site: its path from the site's root, and what is in it. */
export type SiteFile = { readonly path: string; readonly content: string | Uint8Array };

/** What every page is told about the site. */
export type SiteAbout = {
  readonly title: string;
  /** Where the site will stand, with a slash at its end; absent where nobody said. */
  readonly url?: string;
  readonly program: string;
  /** SHA-256 of a text, as hexadecimal digits. */
  readonly sha256: (text: string) => string;
};

/** The revision that stands: the last that was not withdrawn; else the last of all. */
export function standing<T extends { readonly revision: SiteRevision }>(pages: readonly T[]): T | undefined {
  return pages.findLast(({ revision }) => revision.withdrawn === undefined) ?? pages.at(-1);
}

/** Whether all revisions were withdrawn. */
export function isWithdrawn({ revisions }: Pick<SiteEntry, "revisions">): boolean {
  return revisions.every(({ withdrawn }) => withdrawn !== undefined);
}
