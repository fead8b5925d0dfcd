/** Whether this page was let in, and requests in the name of who was. */
import { signal } from "@preact/signals";
import { bearer, type Entered, exchanged, forgetBearer } from "./bearer.ts";

export const access = signal<"asking" | Entered>("asking");

/** With a token that stands in the address now. */
export async function enter(): Promise<void> {
  access.value = await exchanged();
}

/**
 * The server does not know a bearer. Where it is not the present one, another was given meanwhile, here or in another
 * tab: whoever used the old one tries again. @returns whether this browser is shut out
 */
export function shutOut(used: string): boolean {
  if (used !== bearer() || access.value === "asking") return false;
  forgetBearer();
  access.value = "expired";
  return true;
}

export const NO_ANSWER = "The server does not answer. See whether it still runs, then try again.";

/** @throws Error with a sentence where the server is not there; AbortError where it was not wanted any more */
export async function fetchWithBearer(path: string, init: RequestInit = {}): Promise<Response> {
  const headers = new Headers(init.headers);
  const used = bearer();
  headers.set("authorization", `Bearer ${used}`);
  const answer = await fetch(path, { ...init, headers }).catch((error: unknown) => {
    throw error instanceof DOMException && error.name === "AbortError" ? error : new Error(NO_ANSWER);
  });
  if (answer.status === 401) shutOut(used);
  return answer;
}
