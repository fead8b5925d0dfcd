/** Record what is really played, and see it against what is meant. */
import { useEffect } from "preact/hooks";
import { FarView } from "../far/FarView.tsx";
import { tell } from "../far/here.ts";
import { far } from "../far/shown.ts";
import { useWhilePlaying } from "../far/useWhilePlaying.ts";
import { Waiting } from "../parts/Waiting.tsx";
import { useActions } from "../state/actions.ts";
import { opened } from "../state/shown.ts";
import { openInput, shutInput } from "./input.ts";
import { busy, keptTrouble, lines, loadLines, shownRecording } from "./kept.ts";
import { leaveListening, listen, listening, stopListening } from "./listening.ts";
import { recording } from "./taking.ts";
import { RecordForm } from "./RecordForm.tsx";
import { RecordingList } from "./RecordingList.tsx";
import { recordOrStop, stopRecording, wanted } from "./recorder.ts";
import { ResultView } from "./ResultView.tsx";
import { TakeButtons, withPads } from "./TakeButtons.tsx";
import { TakeOutcome } from "./TakeOutcome.tsx";
import { unkept } from "./unkept.ts";
import { UnkeptTakes } from "./UnkeptTakes.tsx";

function listenOrStop(): void {
  const shown = shownRecording.value;
  if (listening.value) stopListening();
  else if (shown !== null) void listen(shown);
}

const turnFar = (): void => {
  far.value = !far.value;
};
const leaveFar = (): void => {
  far.value = false;
};

export function RecordingsScreen() {
  const name = opened.value?.name ?? "";
  useEffect(() => {
    shownRecording.value = null;
    lines.value = null;
    if (name !== "") void loadLines();
  }, [name]);
  useEffect(
    () => () => {
      stopRecording();
      leaveListening();
      shutInput();
      far.value = false;
    },
    [],
  );
  useWhilePlaying(recording.value !== "no", tell);
  useActions("Recordings", [
    { id: "record", name: "Record, or stop recording", keys: ["r"], run: recordOrStop },
    {
      id: "listen",
      name: "Listen to the recording that is open, or stop",
      keys: ["l"],
      run: listenOrStop,
      disabled: () => recording.value !== "no" || (shownRecording.value?.peak ?? null) === null,
    },
    { id: "record-far", name: "View for reading from afar", keys: ["v"], run: turnFar },
    { id: "record-leave", name: "Leave the view from afar", keys: ["Escape"], run: leaveFar },
    { id: "open-input", name: "Open the microphone or line input", keys: [], run: () => void openInput() },
    { id: "shut-input", name: "Close the microphone or line input", keys: [], run: shutInput },
  ]);
  if (opened.value === null) return null;
  if (far.value)
    return (
      <FarView
        title={wanted()?.name ?? opened.value.routine.title}
        outcome={<TakeOutcome />}
        buttons={<TakeButtons />}
        rows={1}
        pads={withPads()}
        onStop={stopRecording}
        onLeave={leaveFar}
      />
    );
  const shown = shownRecording.value;
  return (
    <div class="recordings">
      <RecordForm />
      {busy.value !== null && (
        <Waiting
          key={busy.value.words}
          words={busy.value.words}
          done={busy.value.done}
          onStop={busy.value.stop}
        />
      )}
      {keptTrouble.value !== null && !unkept.value.some(({ why }) => why === keptTrouble.value) && (
        <p role="alert" class="trouble">
          {keptTrouble.value}
        </p>
      )}
      <UnkeptTakes />
      {shown !== null && <ResultView recording={shown} />}
      <RecordingList />
    </div>
  );
}
