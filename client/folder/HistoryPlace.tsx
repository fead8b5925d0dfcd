/** What was done to the routine, newest first; any moment can be looked at, and the bar of the past leads on from it. */
import { signal } from "@preact/signals";
import { useEffect, useState } from "preact/hooks";
import type { Past } from "../../schemas/wire.ts";
import { useActions } from "../state/actions.ts";
import { ask } from "../state/connection.ts";
import { goTo, place } from "../state/place.ts";
import { lookAt } from "../state/past.ts";
import { opened } from "../state/shown.ts";
import { useModal } from "../parts/modal.ts";
import { tried } from "./tried.ts";
import { clockWords, dayWords } from "./words.ts";

export const historyOpen = signal(false);
export const showHistory = (): void => {
  historyOpen.value = true;
};
const shut = (): void => {
  historyOpen.value = false;
};

/** Edits asked for at a time. */
const AT_ONCE = 60;

const isOpen = (): boolean => historyOpen.value && opened.value !== null;

export function HistoryPlace() {
  const modal = useModal(isOpen, shut);
  return (
    <dialog {...modal} class="history-place" aria-labelledby="history-title">
      {isOpen() && (
        <>
          <div class="line folder-head">
            <h2 id="history-title">Past of the routine</h2>
            <button type="button" autofocus onClick={shut}>
              Close
            </button>
          </div>
          <p class="quiet">
            Choose a moment to see and hear the routine as it was. Nothing changes until you bring it back.
          </p>
          <Edits />
        </>
      )}
    </dialog>
  );
}

function Edits() {
  const { name = "", rev = 0, undo } = opened.value ?? {};
  const [edits, setEdits] = useState<readonly Past[]>([]);
  const [more, setMore] = useState(true);
  const [asking, setAsking] = useState(false);
  const [trouble, setTrouble] = useState<string | null>(null);
  const get = async (known: readonly Past[]): Promise<void> => {
    setAsking(true);
    const before = known.at(-1)?.rev;
    const why = await tried(async () => {
      const question = { type: "history" as const, name, limit: AT_ONCE };
      const got = await ask<"history">(before === undefined ? question : { ...question, before });
      setEdits([...known, ...got.edits]);
      setMore(got.more);
    });
    setTrouble(why);
    setAsking(false);
  };
  // Begins anew with each edit, so that what is new stands first.
  useEffect(() => void get([]), [name, rev]);
  const look = (edit: Past): void => {
    // There alone it is shown.
    if (place.value.screen !== "routine") goTo("routine");
    void tried(() => lookAt(edit)).then((why) => (why === null ? shut() : setTrouble(why)));
  };
  useActions(
    "The past",
    [
      ...edits
        .filter((edit) => edit.rev !== rev)
        .map((edit) => ({
          id: `past-${edit.rev}`,
          name: `As it was at ${clockWords(edit.at)}: ${edit.words}`,
          keys: [],
          run: () => look(edit),
        })),
      {
        id: "past-more",
        name: "Show earlier ones",
        keys: [],
        run: () => void get(edits),
        disabled: () => !more,
      },
    ],
    [edits, more],
  );
  return (
    <>
      {trouble !== null && (
        <p class="trouble" role="alert">
          {trouble}
        </p>
      )}
      {edits.length === 0 && !asking && trouble === null && (
        <p>
          Nothing was done here yet{undo == null ? "" : " that is kept"}. What you change stands here from
          then on.
        </p>
      )}
      {byDay(edits).map(({ day, of }) => (
        <section key={day} aria-label={day}>
          <h3>{day}</h3>
          <ol class="edits">
            {of.map((edit) => (
              <li key={edit.rev}>
                <button
                  type="button"
                  class="plain"
                  aria-current={edit.rev === rev ? "true" : undefined}
                  onClick={() => (edit.rev === rev ? shut() : look(edit))}
                >
                  <span class="quiet">{clockWords(edit.at)}</span> <span>{edit.words}</span>
                  {edit.rev === rev && <span class="quiet small"> as it is now</span>}
                </button>
              </li>
            ))}
            {!more && of.at(-1) === edits.at(-1) && (
              <li>
                <button
                  type="button"
                  class="plain"
                  onClick={() => look({ rev: edits.at(-1)!.rev - 1, at: edits.at(-1)!.at, words: BEGINNING })}
                >
                  <span class="quiet">before</span> <span>{BEGINNING}</span>
                </button>
              </li>
            )}
          </ol>
        </section>
      ))}
      {more && edits.length > 0 && (
        <button type="button" disabled={asking} onClick={() => void get(edits)}>
          {asking ? "Fetching…" : "Show earlier ones"}
        </button>
      )}
    </>
  );
}

const BEGINNING = "As it was before all of this";

function byDay(edits: readonly Past[]): { day: string; of: Past[] }[] {
  const days: { day: string; of: Past[] }[] = [];
  for (const edit of edits) {
    const day = dayWords(edit.at);
    if (days.at(-1)?.day !== day) days.push({ day, of: [] });
    days.at(-1)!.of.push(edit);
  }
  return days;
}
