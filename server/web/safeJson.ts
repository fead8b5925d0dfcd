/** JSON from strangers, without its traps. */
import { findJsonFault } from "../routine/json.ts";
import type { Refusal } from "./interfaces.ts";

/** A body or message that is refused; `refusal` says how to answer. */
export class BodyError extends Error {
  readonly refusal: Refusal;
  constructor(status: number, code: string, message: string) {
    super(message);
    this.refusal = { status, code, message };
  }
}

/**
 * JSON without traps: UTF-8, no deeper than `depth`, no name twice in an object, no `__proto__` or `constructor`, no
 * number that is infinite. @throws BodyError
 */
export function safeJson(bytes: Uint8Array | string, depth: number): unknown {
  let text: string;
  try {
    text = typeof bytes === "string" ? bytes : new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    throw new BodyError(400, "not-utf-8", "The body is no UTF-8 text.");
  }
  if (depthOf(text) > depth) throw new BodyError(422, "too-deep", `At most ${depth} levels are read.`);
  const fault = findJsonFault(text);
  if (fault?.kind === "twice") throw new BodyError(422, "twice", "A field stands twice in one object.");
  if (fault !== null)
    throw new BodyError(400, "not-json", `The body is no JSON from character ${fault.offset} on.`);
  return JSON.parse(text, (name, value: unknown) => {
    if (name === "__proto__" || name === "constructor") {
      throw new BodyError(422, "unknown-field", `A field cannot be named ${name}.`);
    }
    if (value === Number.POSITIVE_INFINITY || value === Number.NEGATIVE_INFINITY) {
      throw new BodyError(422, "out-of-range", "A number is too large.");
    }
    return value;
  }) as unknown;
}

/** Levels of brackets outside strings; without recursion. */
function depthOf(text: string): number {
  let level = 0;
  let deepest = 0;
  let quoted = false;
  for (let index = 0; index < text.length; index++) {
    const mark = text[index];
    if (quoted && mark === "\\") index++;
    else if (mark === '"') quoted = !quoted;
    else if (quoted) continue;
    else if (mark === "[" || mark === "{") deepest = Math.max(deepest, ++level);
    else if (mark === "]" || mark === "}") level--;
  }
  return deepest;
}
