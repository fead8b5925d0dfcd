/** Lines under the head that want an answer: edits set aside, no connection, a question after a gesture. */
import { signal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import type { Edit } from "../../schemas/edit.ts";
import { brought } from "../phrases/files.ts";
import { PastBar } from "../folder/PastBar.tsx";
import { Unsaved } from "../folder/Unsaved.tsx";
import { useActions } from "../state/actions.ts";
import { link } from "../state/connection.ts";
import { change, done, draftTrouble, dropAside, opened, outbox, said, tryAgain } from "../state/store.ts";

export interface Choice {
  readonly label: string;
  readonly act: () => void;
}
export interface Question {
  readonly text: string;
  readonly choices: readonly Choice[];
  /** Which of the choices Escape stands for. */
  readonly leave: number;
}
/** Asked after a gesture; one at a time. */
export const question = signal<Question | null>(null);
/** Each choice is an edit, or nothing; Escape stands for the last. */
export const askWhether = (
  text: string,
  ...choices: { label: string; edit: Edit | null; words: string }[]
): void => {
  question.value = {
    text,
    choices: choices.map(({ label, edit, words }) => ({
      label,
      act: () => {
        if (edit !== null) change(edit, words);
      },
    })),
    leave: choices.length - 1,
  };
};

/** Over the foot of the page, wherever one has scrolled to; takes the focus, as nothing else makes sense before. */
function Asked({ asked }: { asked: Question }) {
  const first = useRef<HTMLButtonElement>(null);
  useEffect(() => {
    const before = document.activeElement;
    first.current?.focus({ preventScroll: true });
    return () => {
      if (before instanceof HTMLElement && before.isConnected) before.focus({ preventScroll: true });
    };
  }, [asked]);
  const answer = (choice: Choice | undefined): void => {
    question.value = null;
    choice?.act();
  };
  useActions(
    "Asked",
    asked.choices.map((choice) => ({
      id: `answer-${choice.label}`,
      name: choice.label,
      keys: [],
      run: () => answer(choice),
    })),
    [asked],
  );
  return (
    <div
      class="offer asked"
      role="alertdialog"
      aria-label={asked.text}
      onKeyDown={(event) => {
        if (event.key !== "Escape") return;
        event.stopPropagation();
        answer(asked.choices[asked.leave]);
      }}
    >
      <p>{asked.text}</p>
      {asked.choices.map((choice, index) => (
        <button
          key={choice.label}
          ref={index === 0 ? first : null}
          type="button"
          onClick={() => answer(choice)}
        >
          {choice.label}
        </button>
      ))}
    </div>
  );
}

/** Milliseconds for which a sentence stands that wants no answer. */
const READ = 8_000;

function Said() {
  useEffect(() => {
    if (said.value === "") return;
    const gone = setTimeout(() => {
      said.value = "";
    }, READ);
    return () => clearTimeout(gone);
  }, [said.value]);
  return (
    <p class={said.value === "" ? "unseen" : "said"} role="status">
      {said.value}
    </p>
  );
}

export function Offers() {
  const now = opened.value;
  const asked = question.value;
  const { aside } = outbox.value;
  useActions(
    "Not done",
    aside.flatMap(({ opId, words }) => [
      { id: `again-${opId}`, name: `Try again: ${words}`, keys: [], run: () => tryAgain(opId) },
      { id: `drop-${opId}`, name: `Let it go: ${words}`, keys: [], run: () => dropAside(opId) },
    ]),
    [aside],
  );
  return (
    <>
      <p class="unseen" role="status">
        {done.value}
      </p>
      <Said />
      {now !== null && link.value === "offline" && (
        <div class="offer" role="status">
          <p>No connection to the server. What you change is kept here and sent when it is back.</p>
        </div>
      )}
      {now !== null && <Unsaved now={now} />}
      <PastBar />
      {now?.notices.map((notice) => (
        <div key={notice} class="offer">
          <p>{notice}</p>
        </div>
      ))}
      {draftTrouble.value !== null && (
        <div class="offer" role="alert">
          <p class="trouble">{draftTrouble.value}</p>
        </div>
      )}
      {brought.value !== null && (
        <div class="offer" role="status">
          <div>
            {brought.value.sentences.map((sentence) => (
              <p key={sentence} class={brought.value?.good === true ? "" : "trouble"}>
                {sentence}
              </p>
            ))}
          </div>
          <button
            type="button"
            onClick={() => {
              brought.value = null;
            }}
          >
            Close
          </button>
        </div>
      )}
      {asked !== null && <Asked asked={asked} />}
      {aside.map(({ opId, words, why }) => (
        <div key={opId} class="offer" role="alert">
          <p>
            <strong>Not done: {words}.</strong> {why}
          </p>
          <button type="button" onClick={() => tryAgain(opId)}>
            Try again
          </button>
          <button type="button" onClick={() => dropAside(opId)}>
            Let it go
          </button>
        </div>
      ))}
    </>
  );
}
