/**
 * How this page gets in: a one-time token in the address (#t=…) is exchanged for a bearer, which this browser
 * keeps, since cookies would be shared by all ports of the machine.
 */
import { signal } from "@preact/signals";

const KEY = "countercut.bearer";

export type Access = "asking" | "in" | "expired" | "unreachable";
export const access = signal<Access>("asking");

export function bearer(): string {
  try {
    return localStorage.getItem(KEY) ?? "";
  } catch {
    return "";
  }
}

/** Takes the token out of the address, so that it is neither bookmarked nor sent on. */
function tokenFromAddress(): string | null {
  const match = /^#t=([^&]+)/.exec(location.hash);
  if (match === null) return null;
  history.replaceState(null, "", `${location.pathname}${location.search}`);
  return decodeURIComponent(match[1]!);
}

export async function enter(): Promise<void> {
  const token = tokenFromAddress();
  if (token === null) {
    access.value = bearer() === "" ? "expired" : "in";
    return;
  }
  try {
    const answer = await fetch("/session", {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ token }),
    });
    if (answer.ok) {
      const { bearer: given } = (await answer.json()) as { bearer: string };
      localStorage.setItem(KEY, given);
      access.value = "in";
    } else access.value = bearer() === "" ? "expired" : "in";
  } catch {
    access.value = "unreachable";
  }
}

/**
 * The server does not know a bearer. Where it is not the present one, another was given meanwhile, here or in another
 * tab: whoever used the old one tries again. @returns whether this browser is shut out
 */
export function shutOut(used: string): boolean {
  if (used !== bearer() || access.value === "asking") return false;
  try {
    localStorage.removeItem(KEY);
  } catch {
    // Nothing was kept, then.
  }
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
