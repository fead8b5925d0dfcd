/** By what content a file is known again. */
import { createHash } from "node:crypto";

/** SHA-256, hexadecimal. */
export const hashOf = (content: string | Uint8Array): string =>
  createHash("sha256").update(content).digest("hex");
