/** A folder kept fresh with the routine: chosen by its path; what is in it, what was left, what is wrong. */
import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import type { FolderState } from "../../schemas/answers.ts";
import { counted } from "../parts/music.ts";
import { askJson, jsonBody } from "../state/ask.ts";
import { base } from "./clips.ts";

/** Milliseconds before it asks again where the server did not answer. */
const AGAIN = 2_000;

export function FreshFolder({ name }: { name: string }) {
  const state = useSignal<FolderState | null>(null);
  const why = useSignal<string | null>(null);
  const typed = useSignal<string | null>(null);
  const path = `${base(name)}/clips-folder`;
  useEffect(() => {
    const control = new AbortController();
    async function follow(): Promise<void> {
      for (let number = -1; !control.signal.aborted; ) {
        const got = await askJson<FolderState>(`${path}?after=${number}`, { signal: control.signal });
        if ("why" in got) await new Promise((resolve) => setTimeout(resolve, AGAIN));
        else {
          state.value = got.answer;
          number = got.answer.number;
        }
      }
    }
    follow().catch(() => {});
    return () => control.abort();
  }, [path]);
  const say = async (method: "PUT" | "POST", body: unknown): Promise<void> => {
    const got = await askJson<FolderState>(path, jsonBody(method, body));
    why.value = "why" in got ? got.why : null;
    if ("answer" in got) {
      state.value = got.answer;
      typed.value = null;
    }
  };
  const now = state.value;
  if (now === null) return null;
  const wanted = (typed.value ?? "").trim();
  return (
    <section class="fresh" aria-labelledby="fresh-title">
      <h3 id="fresh-title">A folder kept fresh</h3>
      <p>
        Name a folder, and the clips in it are written anew within a second of each change. Files that you
        change or add there are left as they are.
      </p>
      <form
        class="line"
        onSubmit={(event) => {
          event.preventDefault();
          if (wanted !== "" && wanted !== now.path) void say("PUT", { path: wanted });
        }}
      >
        <label class="field">
          <span>Folder</span>
          <input
            class="path"
            value={typed.value ?? now.path ?? ""}
            onInput={(event) => {
              // Kept here, so that news of the routine do not take away what one types.
              typed.value = event.currentTarget.value;
            }}
            placeholder={now.path === null ? "its whole path on this machine" : ""}
          />
        </label>
        {now.path === null && (
          <button type="submit" disabled={wanted === ""}>
            Keep it fresh
          </button>
        )}
        {now.path !== null && (
          <button type="button" onClick={() => void say("PUT", { path: null })}>
            Follow no more
          </button>
        )}
      </form>
      {why.value !== null && (
        <p role="alert" class="trouble">
          {why.value}
        </p>
      )}
      <p role="status">
        {now.state === "writing" && "Writing…"}
        {now.state === "fresh" && (
          <span class="good">
            Fresh: {counted(now.files, "file")}, the last {counted(now.written, "of them", "of them")} written
            at {new Date(now.at ?? 0).toLocaleTimeString("en-GB")}
            {now.removed > 0 && `, ${counted(now.removed, "old one", "old ones")} removed`}.
          </span>
        )}
        {(now.state === "waiting" || now.state === "trouble") && (
          <span class="trouble">
            {now.why}{" "}
            {now.state === "trouble" && (
              <button type="button" onClick={() => void say("POST", { writeOver: null })}>
                Try again
              </button>
            )}
          </span>
        )}
      </p>
      {now.left.length > 0 && (
        <>
          <p class="warn">Left as they are, since they are not as the program wrote them:</p>
          <ul>
            {now.left.map((file) => (
              <li key={file}>
                {file}{" "}
                <button type="button" onClick={() => void say("POST", { writeOver: file })}>
                  Write over it
                </button>
              </li>
            ))}
          </ul>
        </>
      )}
    </section>
  );
}
