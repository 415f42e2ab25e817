import type { FastifyHelmetOptions } from "@fastify/helmet";

type Csp = Record<string, string[]>;

/** The web app's pages: scripts, styles and connections of this server alone, and no frame around them. */
const appCsp: Csp = {
  "default-src": ["'none'"],
  "script-src": ["'self'"],
  "style-src": ["'self'"],
  "img-src": ["'self'", "data:", "blob:"],
  "font-src": ["'self'"],
  // A film that the user looks at, and its captions, both from their own disk: nothing is fetched.
  "media-src": ["blob:"],
  "connect-src": ["'self'"],
  "worker-src": ["'self'"],
  "manifest-src": ["'self'"],
  "frame-src": ["'self'"],
  "form-action": ["'none'"],
  "base-uri": ["'none'"],
  "frame-ancestors": ["'none'"],
};

/** A report: no script and no request whatever it holds; only its own styles, its pictures and its data to save. */
const reportCsp: Csp = {
  sandbox: ["allow-downloads"],
  "default-src": ["'none'"],
  "style-src": ["'unsafe-inline'"],
  "img-src": ["data:"],
  "form-action": ["'none'"],
  "base-uri": ["'none'"],
  "frame-ancestors": ["'self'"],
};

/** Bytes that a user brought in (photographs, recordings): shown or saved, never run. */
const bytesCsp: Csp = { sandbox: [], "default-src": ["'none'"], "frame-ancestors": ["'none'"] };

/** Security headers of every answer, refusals as well. */
export const appHeaders: FastifyHelmetOptions = {
  contentSecurityPolicy: { useDefaults: false, directives: appCsp },
  crossOriginOpenerPolicy: { policy: "same-origin" },
  crossOriginResourcePolicy: { policy: "same-origin" },
  referrerPolicy: { policy: "no-referrer" },
  xFrameOptions: { action: "deny" },
  // The server speaks plain HTTP on loopback; a browser must not be told to insist on HTTPS for "localhost".
  strictTransportSecurity: false,
  // Sandboxed pages have no origin to be keyed by, and browsers complain of a server that asks for both.
  originAgentCluster: false,
};

/**
 * Headers of a report. No opener policy: a browser shows an error in place of a sandboxed page that also sets one (HTML
 * standard, "navigation params by fetching": sandboxing flags with an opener policy other than "unsafe-none").
 */
export const reportHeaders: FastifyHelmetOptions = {
  contentSecurityPolicy: { useDefaults: false, directives: reportCsp },
  crossOriginOpenerPolicy: false,
  xFrameOptions: { action: "sameorigin" },
};

/** Headers of bytes that a user brought in; no opener policy, for the same reason. */
export const bytesHeaders: FastifyHelmetOptions = {
  contentSecurityPolicy: { useDefaults: false, directives: bytesCsp },
  crossOriginOpenerPolicy: false,
};

/** Headers of a page of our own that brings one style element with it, named by its hash (base64 SHA-256). */
export function styledPageHeaders(styleHash: string): FastifyHelmetOptions {
  const directives = { ...appCsp, "script-src": ["'none'"], "style-src": [`'sha256-${styleHash}'`] };
  return { contentSecurityPolicy: { useDefaults: false, directives } };
}

/**
 * The header that names an answer's file, to be saved or to be shown: an ASCII form for all, and the exact one (RFC 6266
 * with the encoding of RFC 8187).
 *
 * @example
 * disposition("attachment", "prüf.csv") // attachment; filename="pr_f.csv"; filename*=UTF-8''pr%C3%BCf.csv
 */
export function disposition(kind: "attachment" | "inline", fileName: string): string {
  const ascii = fileName.replace(/[^\x20-\x7e]|["\\%]/g, "_");
  const exact = encodeURIComponent(fileName.replace(/\p{Surrogate}/gu, "_")).replace(
    /['()*]/g,
    (mark) => `%${mark.charCodeAt(0).toString(16).toUpperCase()}`,
  );
  return `${kind}; filename="${ascii}"; filename*=UTF-8''${exact}`;
}
