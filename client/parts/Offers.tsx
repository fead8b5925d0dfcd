/** Lines under the head: edits set aside, no connection, what was brought; and the question after a gesture. */
import { useEffect } from "preact/hooks";
import { Asked } from "./Asked.tsx";
import { brought } from "../phrases/files.ts";
import { PastBar } from "../folder/PastBar.tsx";
import { Unsaved } from "../folder/Unsaved.tsx";
import { useActions } from "../state/actions.ts";
import { link } from "../state/connection.ts";
import { question } from "../state/question.ts";
import { draftTrouble } from "../state/draft.ts";
import { done, said, told } from "../state/said.ts";
import { saved } from "../state/saved.ts";
import { opened } from "../state/shown.ts";
import { dropAside, outbox, tryAgain } from "../state/waiting.ts";

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
    <>
      <p class={said.value === "" ? "unseen" : "said"} role="status">
        {said.value}
      </p>
      <p class="unseen" role="status">
        {told.value}
      </p>
    </>
  );
}

/** Edits that were set aside. While nothing can be saved they stand in one line: none could be done if it were tried. */
function NotDone() {
  const { aside } = outbox.value;
  const held = saved.value.state === "cannot" ? aside.filter(({ name }) => name === opened.value?.name) : [];
  const last = held.at(-1);
  return (
    <>
      {last !== undefined && (
        <div class="offer" role="alert">
          <p>
            <strong>
              Not done: {last.words}
              {held.length > 1 && `, and ${held.length - 1} before it`}.
            </strong>{" "}
            Kept in this page until the routine can be saved.
          </p>
          <button
            type="button"
            onClick={() => {
              for (const { opId } of held) dropAside(opId);
            }}
          >
            Let {held.length === 1 ? "it" : "them"} go
          </button>
        </div>
      )}
      {aside
        .filter((one) => !held.includes(one))
        .map(({ opId, words, why }) => (
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
      <NotDone />
    </>
  );
}
