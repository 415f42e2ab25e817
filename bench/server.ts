import { type ChildProcess, spawn } from "node:child_process";
import { readFileSync } from "node:fs";
import { createInterface, type Interface } from "node:readline";

/** One doing of a work: milliseconds on the wall and of processor, and what came out. */
export type Done = { readonly ms: number; readonly cpuMs: number; readonly answer: readonly number[] };

/** A process that does works when it is told to: ours, a peer's, or the limit in C. */
export type Server = {
  ask(work: string, file: string, count: number): Promise<Done>;
  /** The most memory that it has held so far, in MiB; nothing where the system does not say. */
  peakMiB(): number | undefined;
  stop(): void;
};

/** Starts a process that answers each line by a line; its errors go where ours go. */
export function startServer(command: string, args: readonly string[], cwd?: string): Server {
  const child: ChildProcess = spawn(command, [...args], { stdio: ["pipe", "pipe", "inherit"], cwd });
  const lines: Interface = createInterface({ input: child.stdout as NodeJS.ReadableStream });
  const waiting: { resolve(line: string): void; reject(error: Error): void }[] = [];
  lines.on("line", (line) => waiting.shift()?.resolve(line));
  const end = (why: string) => {
    for (const one of waiting.splice(0)) one.reject(new Error(`${command} ${why}`));
  };
  child.on("error", (error) => end(error.message));
  child.on("exit", (code) => end(`ended with ${code}`));
  return {
    async ask(work, file, count) {
      const line = await new Promise<string>((resolve, reject) => {
        waiting.push({ resolve, reject });
        child.stdin?.write(`${work} ${file === "" ? "-" : file} ${count}\n`);
      });
      const [ms = Number.NaN, cpuMs = Number.NaN, ...answer] = line.trim().split(/\s+/).map(Number);
      return { ms, cpuMs, answer };
    },
    peakMiB() {
      try {
        const found = /VmHWM:\s+(\d+)/.exec(readFileSync(`/proc/${child.pid}/status`, "utf8"));
        return found === null ? undefined : Number(found[1]) / 1024;
      } catch {
        return undefined;
      }
    },
    stop: () => child.kill(),
  };
}

/** A whole process from its start to its end. */
export function wholeProcess(command: string, args: readonly string[]): Promise<Done> {
  return new Promise((resolve, reject) => {
    const from = performance.now();
    const child = spawn(command, [...args], { stdio: ["ignore", "ignore", "inherit"] });
    child.on("error", reject);
    child.on("exit", (code) => {
      const ms = performance.now() - from;
      if (code === 0) resolve({ ms, cpuMs: Number.NaN, answer: [] });
      else reject(new Error(`${command} ended with ${code}`));
    });
  });
}
