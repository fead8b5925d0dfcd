/** Asking the server over HTTP, and the sentence with which it refuses. */
import { fetchWithBearer, NO_ANSWER } from "./access.ts";

/** Why an answer refused, as the server says it. */
export async function sentenceOf(answer: Response): Promise<string> {
  const said = (await answer.json().catch(() => null)) as { error?: { message?: string } } | null;
  return said?.error?.message ?? `The server refused (${answer.status}). Try again.`;
}

/** What the server answers, or the sentence with which it refuses. @throws AbortError where it was not wanted any more */
export async function askJson<Answer>(
  path: string,
  init?: RequestInit,
): Promise<{ readonly answer: Answer } | { readonly why: string }> {
  try {
    const answer = await fetchWithBearer(path, init);
    return answer.ok ? { answer: (await answer.json()) as Answer } : { why: await sentenceOf(answer) };
  } catch (error) {
    if (error instanceof DOMException && error.name === "AbortError") throw error;
    return { why: NO_ANSWER };
  }
}

export const jsonBody = (method: "PUT" | "POST", body: unknown): RequestInit => ({
  method,
  headers: { "content-type": "application/json" },
  body: JSON.stringify(body),
});
