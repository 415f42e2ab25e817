import { fileURLToPath } from "node:url";
import { serveBook } from "../../server/mod.ts";
import { bookPath } from "../book.ts";
import { type ExitCode, exitCodes, refuseAloud, type Terminal, toJson } from "../terminal.ts";
import { version } from "../version.ts";

export type StartOptions = {
  readonly port?: number;
  readonly host?: string;
  readonly allowHost?: readonly string[];
  readonly book?: string;
  readonly json?: boolean;
  readonly debug?: boolean;
};

/** Serves the book until the process is told to stop; then closes server and book and is done. */
export async function start(options: StartOptions, terminal: Terminal): Promise<ExitCode> {
  const { paint } = terminal;
  const book = bookPath(options.book);
  const served = await serveBook({
    bookPath: book,
    webRoot: webRoot(),
    version,
    // An address that was asked for is a name to answer to; "everywhere" is none.
    allowedHosts: [
      ...(options.allowHost ?? []),
      ...(isEverywhere(options.host) ? [] : [options.host ?? ""]),
    ].filter((name) => name !== ""),
    onBug: (error, asked) => sayBug(terminal, error, asked),
    ...(options.host === undefined ? {} : { host: options.host }),
    ...(options.port === undefined ? {} : { port: options.port }),
  });
  if (!served.ok) return refuseAloud(terminal, "Cannot start", served.problems, options);

  const { url, demoLoaded, webAppIsThere, close } = served.value;
  const told = untilTold();
  if (options.json) terminal.out(toJson({ url, book, demoLoaded, webAppIsThere }));
  else {
    terminal.out(`Bitter End ${version}: ${paint.bold(url)}`);
    terminal.out(`  book: ${book}${demoLoaded ? " (new; holds a simulated demo series)" : ""}`);
    terminal.out("  stop: Ctrl+C");
  }
  if (!webAppIsThere)
    terminal.err("  ! The pages of the web app are missing: run npm run build.   [SERVER_WEB_MISSING]");
  if (isEverywhere(options.host) && options.allowHost === undefined)
    terminal.err(
      "  ! Other computers must name a host that is allowed: add --allow-host NAME.   [SERVER_HOST]",
    );
  await told;
  await close();
  return exitCodes.done;
}

function isEverywhere(host: string | undefined): boolean {
  return host === "0.0.0.0" || host === "::";
}

/** The built web app lies beside the bundle that this runs in: dist/cli.js (or a chunk of it) and dist/web. */
function webRoot(): string {
  const here = import.meta.url;
  return fileURLToPath(new URL(here.includes("/chunks/") ? "../web" : "web", here));
}

/** Resolves at the first signal to stop. A second one ends the process as it would without us. */
function untilTold(): Promise<void> {
  return new Promise((resolve) => {
    process.once("SIGINT", resolve);
    process.once("SIGTERM", resolve);
  }).then(() => {});
}

function sayBug(terminal: Terminal, error: unknown, asked: string): void {
  terminal.err(`A fault of this program, at ${asked}:   [SERVER_BUG]`);
  terminal.err(error instanceof Error ? (error.stack ?? error.message) : String(error));
}
