/** Chooses what is written, a phrase or a beat, and shows its editor. */
import { beginFind } from "../find/beginFind.ts";
import { findPlace } from "../find/findPlace.ts";
import { FindScreen } from "../find/FindScreen.tsx";
import { SamplesScreen } from "../sounds/SamplesScreen.tsx";
import { partOf } from "../paper/address.ts";
import { useActions } from "../state/actions.ts";
import { BUILT_IN, goTo, place, SAMPLES } from "../state/place.ts";
import { opened } from "../state/shown.ts";
import { waitingHere } from "../state/waiting.ts";
import { BeatEditor } from "./BeatEditor.tsx";
import { BuiltInBeats } from "./BuiltInBeats.tsx";
import { newBeat } from "./beatList.ts";
import { FirstPhrase } from "./FirstPhrase.tsx";
import { patternNow } from "./inHand.ts";
import { PhraseEditor } from "./PhraseEditor.tsx";
import { copyPhrase, movePhrase, newPhrase, nextPhrase, removePhrase } from "./phraseList.ts";
import { startTapping } from "./tap/tapping.ts";
import { PhraseMenu } from "./PhraseMenu.tsx";

function toItsId(): void {
  const list = document.querySelector<HTMLDetailsElement>(".in-list");
  if (list === null) return;
  list.open = true;
  list.querySelector("input")?.focus();
}

export function WriteScreen() {
  const { of } = place.value;
  const find = findPlace(of);
  const id = /^beat (.+)$/.exec(of)?.[1];
  const beat = opened.value?.routine.beats.find((one) => one.id === id) ?? null;
  const pattern = beat === null && of !== BUILT_IN && find === null && id === undefined ? patternNow() : null;
  useActions(
    "Phrases and beats",
    [
      { id: "p-new", name: "New phrase", keys: ["a"], run: () => newPhrase() },
      { id: "p-copy", name: "Copy the phrase", keys: ["Shift+a"], run: copyPhrase },
      { id: "p-remove", name: "Remove the phrase", keys: [], run: removePhrase },
      { id: "p-next", name: "The next phrase", keys: ["Alt+ArrowDown"], run: () => nextPhrase(1) },
      { id: "p-before", name: "The phrase before", keys: ["Alt+ArrowUp"], run: () => nextPhrase(-1) },
      { id: "p-up", name: "Move the phrase up in the list", keys: [], run: () => movePhrase(-1) },
      { id: "p-down", name: "Move the phrase down in the list", keys: [], run: () => movePhrase(1) },
      {
        id: "p-paper",
        name: "The phrase on paper",
        keys: [],
        run: () => {
          if (pattern !== null) goTo("routine", partOf({ kind: "phrase", id: pattern.id }));
        },
        disabled: () => pattern === null,
      },
      { id: "p-tap", name: "Tap the hand’s rhythm over the beat", keys: ["t"], run: startTapping },
      { id: "p-beat", name: "New beat", keys: [], run: () => newBeat() },
      { id: "p-recorded", name: "New recorded beat", keys: [], run: () => newBeat([]) },
      { id: "p-id", name: "Give the phrase or beat another id", keys: [], run: toItsId },
      {
        id: "p-built-in",
        name: "Look through the built-in beats",
        keys: ["u"],
        run: () => goTo("write", BUILT_IN),
      },
      { id: "p-find", name: "Find a phrase", keys: ["s"], run: () => beginFind(pattern) },
      { id: "p-samples", name: "Samples on the record", keys: [], run: () => goTo("write", SAMPLES) },
    ],
    [pattern?.id, pattern?.record.step],
  );
  if (of === SAMPLES) return <SamplesScreen />;
  return (
    <>
      <PhraseMenu pattern={pattern} beat={beat} />
      {find !== null ? (
        <FindScreen from={find.from} />
      ) : of === BUILT_IN ? (
        <BuiltInBeats />
      ) : beat !== null ? (
        <BeatEditor key={beat.id} beat={beat} />
      ) : id !== undefined ? (
        <p class="waiting" role="status">
          {waitingHere.value.length > 0 ? "Taking the beat…" : "This beat is not there any more."}
        </p>
      ) : pattern === null ? (
        <FirstPhrase />
      ) : (
        <PhraseEditor />
      )}
    </>
  );
}
