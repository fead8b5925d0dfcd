/** The limits of safety: what any one client may ask of the server. */
import type { Limits } from "./interfaces.ts";

const MIB = 1024 * 1024;

export const LIMITS: Limits = {
  headers: 2_000,
  request: 4_000,
  checkEvery: 500,
  head: 16 * 1024,
  target: 2 * 1024,
  depth: 32,
  message: MIB,
  messagesPerSecond: 200,
  fragments: 200,
  sockets: 64,
  unauthenticated: 8,
  hello: 2_000,
  ping: 15_000,
  silence: 30_000,
  waiting: MIB,
};
