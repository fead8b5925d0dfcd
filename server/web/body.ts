/** Reads a request's body against the limits of its route, before anything is allocated for it. */
import type { IncomingMessage } from "node:http";
import { findJsonFault } from "../routine/json.ts";
import { admittedOf } from "./gate.ts";
import type { Refusal } from "./interfaces.ts";

/** A body that is refused; `refusal` says how to answer. */
export class BodyError extends Error {
  readonly refusal: Refusal;
  constructor(status: number, code: string, message: string) {
    super(message);
    this.refusal = { status, code, message };
  }
}

/** The parts of a body as they come. @throws BodyError 413 as soon as it is too long, 400 where its sender goes away */
export async function* bodyParts(request: IncomingMessage): AsyncGenerator<Buffer> {
  const largest = admittedOf(request).route.body?.largest ?? 0;
  let size = 0;
  try {
    for await (const part of request as AsyncIterable<Buffer>) {
      size += part.length;
      if (size > largest) throw new BodyError(413, "too-large", `The body may have ${largest} bytes.`);
      yield part;
    }
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== "ECONNRESET") throw error;
    throw new BodyError(400, "cut-off", "The body ends before its end.");
  }
}

/** @throws BodyError 413 */
export async function readBody(request: IncomingMessage): Promise<Buffer> {
  const parts: Buffer[] = [];
  for await (const part of bodyParts(request)) parts.push(part);
  return Buffer.concat(parts);
}

/** The JSON of a body. @throws BodyError 413, 400 for no JSON, 422 for JSON that no schema may see */
export async function readJson(request: IncomingMessage, depth: number): Promise<unknown> {
  return safeJson(await readBody(request), depth);
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
  for (const [mark] of text.matchAll(/"(?:[^"\\]|\\.)*"|[[{\]}]/gs)) {
    if (mark === "[" || mark === "{") deepest = Math.max(deepest, ++level);
    else if (mark === "]" || mark === "}") level--;
  }
  return deepest;
}
