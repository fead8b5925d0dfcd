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

/**
 * The same of an answer that takes long and is told line by line (server/web/lineByLine.ts).
 * @param tell hears how much is done, 0 to 1. @throws AbortError where it was not wanted any more
 */
export async function askLines<Answer>(
  path: string,
  tell: (done: number) => void,
  signal: AbortSignal,
): Promise<{ readonly answer: Answer } | { readonly why: string }> {
  try {
    const answer = await fetchWithBearer(path, { signal });
    if (!answer.ok || answer.body === null) return { why: await sentenceOf(answer) };
    const reader = answer.body.pipeThrough(new TextDecoderStream()).getReader();
    let text = "";
    for (;;) {
      const { value, done } = await reader.read();
      if (done) return { why: NO_ANSWER };
      const lines = (text + value).split("\n");
      text = lines.pop() ?? "";
      for (const line of lines) {
        const said = JSON.parse(line) as { readonly done: number } | { readonly answer: Answer };
        if ("answer" in said) return said;
        tell(said.done);
      }
    }
  } catch (error) {
    if (signal.aborted) throw new DOMException("It was not wanted any more.", "AbortError");
    if (error instanceof SyntaxError) throw error;
    return { why: NO_ANSWER };
  }
}

export const jsonBody = (method: "PUT" | "POST", body: unknown): RequestInit => ({
  method,
  headers: { "content-type": "application/json" },
  body: JSON.stringify(body),
});
