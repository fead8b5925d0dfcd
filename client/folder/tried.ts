import { Sorry } from "../state/connection.ts";

/** Asks for one thing. @returns why it was not done, in the server's sentence, or null */
export async function tried(act: () => Promise<unknown>): Promise<string | null> {
  try {
    await act();
    return null;
  } catch (error) {
    if (error instanceof Sorry) return error.message;
    throw error;
  }
}
