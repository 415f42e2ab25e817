import { unzipSync, type Zippable, zipSync } from "fflate";
import { ok, type Problem, type Result, refuse } from "../problem/mod.ts";

/** The files of a bundle by their paths. */
export type Files = ReadonlyMap<string, Uint8Array>;

/** The most that a bundle may be: more is refused before it is unpacked. */
export type BundleLimits = {
  readonly packedBytes: number;
  readonly unpackedBytes: number;
  readonly files: number;
};

export const bundleLimits: BundleLimits = {
  packedBytes: 512 * 1024 * 1024,
  unpackedBytes: 1024 * 1024 * 1024,
  files: 20_000,
};

/** Where in the zip a file may lie: plain names, at most two folders deep, nothing that leads out of them. */
const plainPath = /^[a-z0-9][a-z0-9_-]*(\.[a-z0-9_-]+)*(\/[a-z0-9][a-z0-9_-]*(\.[a-z0-9_-]+)*){0,2}$/;

/** Packs files into a zip: in the order of their paths, all with one date, so that the same files give the same bytes. */
export function packZip(files: Files): Uint8Array {
  const entries: Zippable = {};
  for (const path of [...files.keys()].sort()) {
    const bytes = files.get(path) as Uint8Array;
    // Pictures and Parquet are packed already.
    entries[path] = [bytes, { level: /\.(jpg|png|webp|gif|avif|parquet)$/.test(path) ? 0 : 6 }];
  }
  // The earliest date that a zip can hold, in local time as the format has it: the same bytes in every time zone.
  return zipSync(entries, { mtime: new Date(1980, 0, 1), os: 0 });
}

/**
 * Unpacks a zip in memory; nothing is ever written to a disk by it. Refused, before anything is unpacked: more or larger
 * files than a bundle may have by what the zip says of itself, a path that leads anywhere but down, a path that stands twice.
 * A file that turns out to be of another length than the zip says is refused as well.
 */
export function unpackZip(bytes: Uint8Array, limits: BundleLimits = bundleLimits): Result<Files> {
  if (bytes.length > limits.packedBytes)
    return refuse(tooLarge(`${bytes.length} bytes`, `at most ${limits.packedBytes} bytes`));
  const refused: Problem[] = [];
  const seen = new Map<string, number>();
  let unpacked = 0;
  try {
    unzipSync(bytes, {
      filter: ({ name, originalSize }) => {
        if (seen.has(name)) refused.push(badPath(name, "a path that stands only once"));
        else if (!plainPath.test(name))
          refused.push(badPath(name, "a plain path of lower-case letters, digits, - and _"));
        seen.set(name, originalSize);
        unpacked += originalSize;
        return false;
      },
    });
    if (refused[0] !== undefined) return { ok: false, problems: refused.slice(0, 20) };
    if (seen.size > limits.files) return refuse(tooLarge(`${seen.size} files`, `at most ${limits.files}`));
    if (unpacked > limits.unpackedBytes)
      return refuse(tooLarge(`${unpacked} bytes unpacked`, `at most ${limits.unpackedBytes}`));
    const files = new Map(Object.entries(unzipSync(bytes)));
    const short = [...files].find(([path, file]) => file.length !== seen.get(path));
    return short === undefined ? ok(files) : refuse(notAZip(`${short[0]}: ${short[1].length} bytes`));
  } catch (error) {
    // The unpacker throws at bytes that are no zip, in words that a user can read.
    return refuse(notAZip(error instanceof Error ? error.message : "unreadable"));
  }
}

function tooLarge(found: string, expected: string): Problem {
  return {
    code: "BUNDLE_TOO_LARGE",
    message: "The bundle is larger than a bundle may be; nothing of it was unpacked.",
    found,
    expected,
  };
}

function badPath(path: string, expected: string): Problem {
  return {
    code: "BUNDLE_PATH",
    message: "The bundle holds a file under a path that no bundle has; nothing of it was unpacked.",
    found: path.slice(0, 300),
    expected,
  };
}

function notAZip(found: string): Problem {
  return {
    code: "BUNDLE_ZIP",
    message: "This is not a zip that can be unpacked whole.",
    found,
    expected: "a bundle, as `bitterend bundle` writes it",
  };
}
