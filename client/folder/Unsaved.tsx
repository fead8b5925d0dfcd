/** What stands in the way of saving: the file was changed outside, or cannot be written; and what one can do. */
import { useState } from "preact/hooks";
import type { Opened } from "../state/opened.ts";
import { saveFile } from "../parts/saveFile.ts";
import { ask } from "../state/connection.ts";
import { saved } from "../state/saved.ts";
import { outbox } from "../state/waiting.ts";
import { tried } from "./tried.ts";

/** Gives a text as a file, from the page itself: the server may not be able to. */
const download = (name: string, text: string): void =>
  saveFile(new Blob([text], { type: "application/json" }), name);

const pretty = (value: unknown): string => `${JSON.stringify(value, null, 2)}\n`;

export function Unsaved({ now }: { now: Opened }) {
  const { state, why } = saved.value;
  if (state !== "cannot" && state !== "outside") return null;
  return (
    <div class="offer" role="alert">
      <p class="trouble">{why}</p>
      {state === "outside" ? <Outside now={now} /> : <Pending now={now} />}
    </div>
  );
}

function Pending({ now }: { now: Opened }) {
  const { waiting, aside } = outbox.value;
  const kept = [...waiting, ...aside].filter(({ name }) => name === now.name);
  return (
    <>
      <button type="button" onClick={() => download(`${now.name}.routine.json`, pretty(now.routine))}>
        Download the routine as it is
      </button>
      {kept.length > 0 && (
        <button
          type="button"
          onClick={() =>
            download(
              `${now.name} not saved.json`,
              pretty(kept.map(({ words, intent }) => ({ words, ...intent }))),
            )
          }
        >
          Download what is not saved: {kept.length}
        </button>
      )}
      <span class="quiet small">Once that is mended, start the program again.</span>
    </>
  );
}

/** Both are shown before one is chosen; the other stays as a copy in the folder. */
function Outside({ now }: { now: Opened }) {
  const [shown, setShown] = useState(false);
  const [trouble, setTrouble] = useState<string | null>(null);
  const text = saved.value.text ?? null;
  const choose = (keep: "ours" | "theirs"): void =>
    void tried(() => ask({ type: "choose", name: now.name, keep })).then(setTrouble);
  return (
    <>
      <button type="button" onClick={() => choose("ours")}>
        Keep what is shown here
      </button>
      {text !== null && (
        <>
          <button type="button" onClick={() => choose("theirs")}>
            Take the file
          </button>
          <button type="button" class="plain" aria-expanded={shown} onClick={() => setShown(!shown)}>
            Compare
          </button>
        </>
      )}
      <span class="quiet small">The other is kept as a copy in the folder.</span>
      {trouble !== null && <p class="trouble">{trouble}</p>}
      {shown && text !== null && <Compared ours={pretty(now.routine)} theirs={text} />}
    </>
  );
}

/** Lines that only one of the two has; they are few where a hand changed the file. */
function Compared({ ours, theirs }: { ours: string; theirs: string }) {
  const plain = (text: string): string[] => {
    try {
      return pretty(JSON.parse(text)).split("\n");
    } catch {
      return text.split("\n");
    }
  };
  const [here, there] = [plain(ours), plain(theirs)];
  const only = (lines: readonly string[], other: readonly string[]): string => {
    const known = new Set(other);
    const own = lines.filter((line) => !known.has(line));
    return own.length === 0 ? "Nothing of its own." : own.slice(0, 200).join("\n");
  };
  return (
    <div class="compared">
      <section>
        <h3>Only here</h3>
        <pre>{only(here, there)}</pre>
      </section>
      <section>
        <h3>Only in the file</h3>
        <pre>{only(there, here)}</pre>
      </section>
    </div>
  );
}
