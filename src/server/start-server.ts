import { once } from "node:events";
import type { ServerResponse } from "node:http";
import type { AddressInfo } from "node:net";
import type { FastifyInstance } from "fastify";
import { ok, type Problem, type Result, refuse } from "../problem/mod.ts";
import { buildServer, type ServerOptions } from "./build-server.ts";

/** The port that is tried first; a choice, like any. */
export const defaultPort = 7320;
const portsToTry = 100;
/** How long a closing server waits for answers under way before it cuts them off. */
const patienceMs = 5_000;

export type ListenOptions = {
  readonly host?: string;
  /** Exactly this port; without it the default one, or the next that is free. */
  readonly port?: number;
};

export type RunningServer = {
  readonly port: number;
  /** Where a browser on this computer finds it. */
  readonly url: string;
  /** Stops listening, lets answers under way finish, and cuts off what takes longer than a few seconds. */
  close(): Promise<void>;
};

/**
 * Builds the server and listens, on 127.0.0.1 unless told otherwise. Refuses where the port is taken or may not be
 * used; without a wish for a port it looks for the next free one.
 */
export async function startServer(
  options: ServerOptions,
  { host = "127.0.0.1", port }: ListenOptions = {},
): Promise<Result<RunningServer>> {
  const first = port ?? defaultPort;
  const last = port === undefined ? defaultPort + portsToTry - 1 : port;
  for (let candidate = first; ; candidate += 1) {
    // A server that failed to listen cannot be asked again: each port gets a new one.
    const server = buildServer(options);
    const underWay = trackAnswers(server);
    try {
      await server.listen({ host, port: candidate });
      return ok(running(server, underWay, host));
    } catch (error) {
      await server.close();
      const problem = listenProblem(error, host, candidate);
      if (problem === undefined) throw error;
      if (!isTaken(error) || candidate >= last) return refuse(problem);
    }
  }
}

function running(
  server: FastifyInstance,
  underWay: ReadonlySet<ServerResponse>,
  host: string,
): RunningServer {
  const { port } = server.server.address() as AddressInfo;
  const everywhere = host === "0.0.0.0" || host === "::";
  const shown = everywhere ? "127.0.0.1" : host.includes(":") ? `[${host}]` : host;
  return {
    port,
    url: `http://${shown}:${port}/`,
    close: async () => {
      const closed = server.close();
      await Promise.race([
        Promise.all([...underWay].map((answer) => once(answer, "close"))),
        wait(patienceMs),
      ]);
      // What is left are connections on which nothing is asked, such as those that browsers open in advance.
      server.server.closeAllConnections();
      await closed;
    },
  };
}

/** The answers that are not out yet, at any time. */
function trackAnswers(server: FastifyInstance): ReadonlySet<ServerResponse> {
  const underWay = new Set<ServerResponse>();
  server.server.on("request", (_request, answer: ServerResponse) => {
    underWay.add(answer);
    answer.once("close", () => underWay.delete(answer));
  });
  return underWay;
}

function wait(ms: number): Promise<void> {
  return new Promise((resolve) => {
    setTimeout(resolve, ms).unref();
  });
}

function isTaken(error: unknown): boolean {
  return codeOf(error) === "EADDRINUSE";
}

function codeOf(error: unknown): unknown {
  return error instanceof Error && "code" in error ? error.code : undefined;
}

function listenProblem(error: unknown, host: string, port: number): Problem | undefined {
  const reasons: Record<string, [string, string]> = {
    EADDRINUSE: ["The port is taken by another program.", "Choose another with --port, or leave it out."],
    EACCES: ["This user may not listen on that port.", "Choose a port from 1024 up with --port."],
    EADDRNOTAVAIL: ["This computer has no such address.", "Leave --host out to listen on 127.0.0.1."],
    ENOTFOUND: ["That host name leads nowhere.", "Leave --host out to listen on 127.0.0.1."],
  };
  const reason = reasons[String(codeOf(error))];
  return reason && { code: "SERVER_PORT", message: reason[0], found: `${host}:${port}`, wayOut: reason[1] };
}
