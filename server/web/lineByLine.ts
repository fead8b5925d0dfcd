/**
 * An answer that takes long, as lines of JSON: `{"done":0.4}` while it is made, `{"answer":…}` at last. Whoever breaks
 * the request off ends the work. What goes wrong before the first line is refused like anything else.
 */
import type { Response } from "express";
import type { Follow } from "../jobs/clips.ts";

/** @throws what the work throws, where nothing was sent yet */
export async function lineByLine(
  response: Response,
  work: (follow: Follow) => Promise<unknown>,
): Promise<void> {
  const end = new AbortController();
  response.once("close", () => end.abort());
  const line = (what: object): void => {
    response.write(`${JSON.stringify(what)}\n`);
  };
  response.setHeader("content-type", "application/x-ndjson");
  try {
    const answer = await work({ tell: (done) => line({ done }), signal: end.signal });
    line({ answer });
    response.end();
  } catch (error) {
    // Nobody is there any more, or lines were sent: what breaks off is told by breaking off.
    if (!response.headersSent && !end.signal.aborted) throw error;
    response.destroy();
  }
}
