/** Reads what a page says on a socket: JSON without traps, in the shape that is expected. */
import type { z } from "zod";
import { LIMITS } from "../web/limits.ts";
import { BodyError, safeJson } from "../web/safeJson.ts";

/** @returns null where it is no such message */
export function messageOf<Message>(schema: z.ZodType<Message>, data: string | Uint8Array): Message | null {
  if (typeof data !== "string") return null;
  try {
    return schema.safeParse(safeJson(data, LIMITS.depth)).data ?? null;
  } catch (error) {
    if (error instanceof BodyError) return null;
    throw error;
  }
}
