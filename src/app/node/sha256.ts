import { createHash } from "node:crypto";

/** The SHA-256 of bytes that come in parts, as hexadecimal digits. */
export function sha256(parts: readonly Uint8Array[]): string {
  const hash = createHash("sha256");
  for (const part of parts) hash.update(part);
  return hash.digest("hex");
}
