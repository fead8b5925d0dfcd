/** Bytes of a file as text, and text as JSON, where they are that. */

/** Null where it is no UTF-8. A byte order mark is kept, so that the text has the bytes' hash. */
export function textOf(bytes: Uint8Array): string | null {
  try {
    return new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    return null;
  }
}

/** Undefined where it is no JSON in UTF-8. */
export function jsonOf(bytes: Uint8Array): unknown {
  try {
    return JSON.parse(new TextDecoder("utf-8", { fatal: true }).decode(bytes));
  } catch {
    return undefined;
  }
}
