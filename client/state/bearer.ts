/**
 * How this page gets in: a one-time token in the address (#t=…) is exchanged for a bearer, which this browser
 * keeps, since cookies would be shared by all ports of the machine.
 */
const KEY = "countercut.bearer";

export type Entered = "in" | "expired" | "unreachable";

export function bearer(): string {
  try {
    return localStorage.getItem(KEY) ?? "";
  } catch {
    return "";
  }
}

export function forgetBearer(): void {
  try {
    localStorage.removeItem(KEY);
  } catch {
    // Nothing was kept, then.
  }
}

/** Takes the token out of the address, so that it is neither bookmarked nor sent on. */
function tokenFromAddress(): string | null {
  const match = /^#t=([^&]+)/.exec(location.hash);
  if (match === null) return null;
  history.replaceState(null, "", `${location.pathname}${location.search}`);
  return decodeURIComponent(match[1]!);
}

const known = (): Entered => (bearer() === "" ? "expired" : "in");

/** Whether this browser may come in, once a token in the address was exchanged. */
export async function exchanged(): Promise<Entered> {
  const token = tokenFromAddress();
  if (token === null) return known();
  try {
    const answer = await fetch("/session", {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ token }),
    });
    if (!answer.ok) return known();
    const { bearer: given } = (await answer.json()) as { bearer: string };
    localStorage.setItem(KEY, given);
    return "in";
  } catch {
    return "unreachable";
  }
}
