/** What waits for the server is sent one after the other; one that is refused stays, and stands in no other's way. */
import { Sorry } from "../state/connection.ts";

/**
 * @param waiting what still waits, in order; more may come meanwhile, and what was sent is gone from it
 * @param reachable whether the server answers at all: where it does not, nothing more is tried
 * @returns why the last one that stays was not taken; null where all were
 */
export async function sendEach<One>(
  waiting: () => readonly One[],
  send: (one: One) => Promise<void>,
  reachable: () => boolean,
): Promise<string | null> {
  const tried = new Set<One>();
  let why: string | null = null;
  for (;;) {
    const one = waiting().find((other) => !tried.has(other));
    if (one === undefined) return why;
    tried.add(one);
    try {
      await send(one);
    } catch (error) {
      if (!(error instanceof Sorry)) throw error;
      why = error.message;
      if (!reachable()) return why;
    }
  }
}
