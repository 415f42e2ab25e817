import { readBundle } from "../../bundle/mod.ts";
import type { Result } from "../../problem/mod.ts";
import type { BundleOnDisk, Verification } from "../contract.ts";
import { verifyBundle } from "../use-cases/verify-bundle.ts";
import { nodeWorkings } from "./node-effects.ts";

/** Verifies a bundle in this thread, which has nothing else to do. */
export function answerVerify(file: BundleOnDisk): Promise<Result<Verification>> {
  const workings = nodeWorkings();
  const read = (bytes: Uint8Array) =>
    Promise.resolve(readBundle(bytes, { sha256: (part) => workings.sha256([part]) }));
  return verifyBundle({ ...workings, readBundle: read }, file);
}
