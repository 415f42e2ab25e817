import type { FastifyInstance, FastifyRequest } from "fastify";
import type { Problem } from "../problem/mod.ts";
import { fail } from "./answers.ts";

/** Names by which a browser on this computer reaches a server on this computer. */
const ownNames = ["localhost", "127.0.0.1", "[::1]"];

/**
 * Whether the server answers to this Host header. A page from elsewhere can make its own name point at 127.0.0.1 (DNS
 * rebinding) and would then be of "the same origin"; its name in the Host header gives it away.
 *
 * `port` is the port on which the request came in. Names that the user added hold with that port or with none (behind a
 * proxy), or with the port that was given with them.
 *
 * @example
 * hostIsAllowed("localhost:7320", 7320, []) // true
 * hostIsAllowed("rebound.example:7320", 7320, []) // false
 * hostIsAllowed("bench.lan:7320", 7320, ["bench.lan"]) // true
 */
export function hostIsAllowed(host: string | undefined, port: number, added: readonly string[]): boolean {
  if (host === undefined) return false;
  const asked = host.toLowerCase();
  const own = ownNames.flatMap((name) => withPort(name, port));
  return own.includes(asked) || added.some((name) => addedForms(name, port).includes(asked));
}

/**
 * Whether a request that changes something may come from where it says it comes from. Browsers say so in Origin and
 * Sec-Fetch-Site and pages cannot change either; a program that sends neither is no page and carries nobody's cookies.
 *
 * @example
 * originIsAllowed({ host: "localhost:7320", origin: "http://localhost:7320" }) // true
 * originIsAllowed({ host: "localhost:7320", origin: "https://elsewhere.example" }) // false
 */
export function originIsAllowed(headers: {
  readonly host?: string | undefined;
  readonly origin?: string | undefined;
  readonly "sec-fetch-site"?: string | string[] | undefined;
}): boolean {
  const site = headers["sec-fetch-site"];
  if (site !== undefined && site !== "same-origin" && site !== "none") return false;
  if (headers.origin === undefined) return true;
  if (headers.host === undefined || !URL.canParse(headers.origin)) return false;
  const origin = new URL(headers.origin);
  // Read with the origin's scheme, so that a default port that one of the two leaves out does not tell them apart.
  return origin.host === new URL(`${origin.protocol}//${headers.host}`).host;
}

/** Puts both checks before every request. */
export function guard(server: FastifyInstance, addedHosts: readonly string[]): void {
  server.addHook("onRequest", (request, reply, pass) => {
    if (!hostIsAllowed(request.headers.host, portOf(request), addedHosts))
      fail(reply, 421, foreignHost(request.headers.host));
    else if (changesSomething(request.method) && !originIsAllowed(request.headers))
      fail(reply, 403, foreignOrigin(request));
    else pass();
  });
}

function changesSomething(method: string): boolean {
  return method !== "GET" && method !== "HEAD" && method !== "OPTIONS";
}

/** A request that did not come through a socket has no port; 80 is what a Host header without one means. */
function portOf(request: FastifyRequest): number {
  return request.socket.localPort ?? 80;
}

function withPort(name: string, port: number): string[] {
  return port === 80 ? [`${name}:80`, name] : [`${name}:${port}`];
}

function addedForms(given: string, port: number): string[] {
  const name = given.toLowerCase();
  const isBareIpv6 = !name.startsWith("[") && name.split(":").length > 2;
  if (isBareIpv6) return [`[${name}]:${port}`, `[${name}]`];
  return /:\d+$/.test(name) ? [name] : [`${name}:${port}`, name];
}

function foreignHost(host: string | undefined): Problem {
  return {
    code: "SERVER_HOST",
    message: "This server does not answer to that host name.",
    found: host ?? "",
    expected: "localhost or 127.0.0.1 with this server's port, or a name that was allowed",
    wayOut: "Open the address that the program printed, or start it with --allow-host and the name.",
  };
}

function foreignOrigin(request: FastifyRequest): Problem {
  return {
    code: "SERVER_ORIGIN",
    message: "A page from elsewhere may not change anything in this book.",
    found: request.headers.origin ?? `Sec-Fetch-Site: ${String(request.headers["sec-fetch-site"])}`,
    expected: "a request from this server's own pages",
  };
}
