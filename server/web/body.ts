/** Reads a request's body against the limits of its route, before anything is allocated for it. */
import type { IncomingMessage, ServerResponse } from "node:http";
import { admittedOf } from "./gate.ts";
import { BodyError, safeJson } from "./safeJson.ts";

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

/** Ends where whoever asked goes away before the answer is whole. */
export function wantedBy(response: ServerResponse): AbortSignal {
  const control = new AbortController();
  response.once("close", () => control.abort());
  return control.signal;
}
