/** Lines under the head that want an answer: edits set aside, no connection, a question after a gesture. */
import { signal } from "@preact/signals";
import type { Edit } from "../../schemas/edit.ts";
import { link } from "../state/connection.ts";
import { change, draftTrouble, dropAside, opened, outbox, said, tryAgain } from "../state/store.ts";

export interface Question {
  readonly text: string;
  readonly choices: readonly { readonly label: string; readonly act: () => void }[];
}
/** Asked after a gesture; one at a time. */
export const question = signal<Question | null>(null);
export const askWhether = (
  text: string,
  ...choices: { label: string; edit: Edit | null; words: string }[]
): void => {
  question.value = {
    text,
    choices: choices.map(({ label, edit, words }) => ({
      label,
      act: () => {
        question.value = null;
        if (edit !== null) change(edit, words);
      },
    })),
  };
};

export function Offers() {
  const now = opened.value;
  const asked = question.value;
  return (
    <>
      <p class="unseen" role="status">
        {said.value}
      </p>
      {now !== null && link.value === "offline" && (
        <div class="offer" role="status">
          <p>No connection to the server. What you change is kept here and sent when it is back.</p>
        </div>
      )}
      {now !== null && (now.saved.state === "cannot" || now.saved.state === "outside") && (
        <div class="offer" role="alert">
          <p class="trouble">{now.saved.why}</p>
        </div>
      )}
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
      {asked !== null && (
        <div class="offer" role="alertdialog" aria-label={asked.text}>
          <p>{asked.text}</p>
          {asked.choices.map(({ label, act }) => (
            <button key={label} type="button" onClick={act}>
              {label}
            </button>
          ))}
        </div>
      )}
      {outbox.value.aside.map(({ opId, words, why }) => (
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
