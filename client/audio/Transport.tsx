/** The foot of every screen: play and stop, where one is, loop, speed, count-in, and the mixer when it is wanted. */
import { signal } from "@preact/signals";
import { useRef } from "preact/hooks";
import { useCovers } from "../parts/covers.ts";
import { NumberField } from "../parts/Fields.tsx";
import { leaveAfterMouse } from "../parts/leaveAfterMouse.ts";
import { useActions } from "../state/actions.ts";
import { heardShown, level } from "../state/settings.ts";
import { opened } from "../state/shown.ts";
import { followRows, heardPlace } from "./follow.ts";
import { FirstSound } from "./FirstSound.tsx";
import { LoopChoice } from "./LoopChoice.tsx";
import { Mixer } from "./Mixer.tsx";
import { preparing, soundTrouble, starting, underWay } from "./playing.ts";
import { coming } from "./toCome.ts";
import { loop, setLoop } from "./loop.ts";
import { aloneWord, playsAlone, stay } from "./material.ts";
import { clicks, from, playOrStop, setClicks, setSpeed, speed } from "./transport.ts";

const mixerOpen = signal(false);

export function Transport() {
  const now = opened.value;
  const on = underWay.value;
  const foot = useRef<HTMLElement>(null);
  useCovers(foot, "--foot", now !== null);
  useActions("Playing", [
    { id: "play", name: "Play or stop", keys: ["Space"], run: playOrStop },
    {
      id: "slower",
      name: "Slower by 5 %",
      keys: ["Shift+ArrowDown"],
      run: () => setSpeed(speed.value - 0.05),
    },
    { id: "faster", name: "Faster by 5 %", keys: ["Shift+ArrowUp"], run: () => setSpeed(speed.value + 0.05) },
    {
      id: "stay",
      name: "Stay with what is heard: what is to come is not wanted",
      keys: ["Shift+Space"],
      run: stay,
      disabled: () => coming.value === null,
    },
    { id: "full-speed", name: "Play at full speed", keys: [], run: () => setSpeed(1) },
    { id: "loop-section", name: "Loop the section that is heard or chosen", keys: ["l"], run: loopHere },
    { id: "no-loop", name: "Loop nothing", keys: ["Shift+l"], run: () => setLoop({ kind: "none" }) },
    {
      id: "from-start",
      name: "Go to the start",
      keys: ["Home"],
      run: () => {
        from.value = null;
      },
    },
    {
      id: "mixer",
      name: "Show or hide the levels",
      keys: ["m"],
      run: () => {
        mixerOpen.value = !mixerOpen.value;
      },
    },
    {
      id: "click",
      name: "Click with the beat, or not",
      keys: ["k"],
      run: () => setClicks({ ...clicks.value, beat: !clicks.value.beat }),
    },
    {
      id: "heard",
      name: "Show or hide the waveform of what is heard",
      keys: [],
      run: () => {
        heardShown.value = !heardShown.value;
      },
    },
    {
      id: "follow",
      name: "Rows roll with the playhead, or not",
      keys: [],
      run: () => {
        followRows.value = !followRows.value;
      },
    },
  ]);
  if (now === null) return null;
  return (
    <footer ref={foot} class="foot" aria-label="Playing">
      <button
        type="button"
        class="play"
        aria-pressed={on}
        onClick={(event) => {
          leaveAfterMouse(event);
          playOrStop();
        }}
      >
        {on ? "Stop" : "Play"}
      </button>
      <Where />
      {coming.value !== null && (
        <div class="coming" role="status">
          <span>{coming.value}</span>
          <button type="button" onClick={stay}>
            Stay here
          </button>
        </div>
      )}
      {playsAlone.value ? <span class="quiet">By itself, in a loop</span> : <LoopChoice />}
      <NumberField
        label="Speed"
        unit="%"
        min={25}
        max={200}
        value={Math.round(speed.value * 100)}
        onValue={(percent) => setSpeed(percent / 100)}
      />
      <label class="field">
        <span>Level</span>
        <input
          type="range"
          // On a phone there is no room for the word.
          aria-label="Level"
          min={0}
          max={1}
          step={0.01}
          value={level.value}
          onInput={(event) => {
            level.value = Number(event.currentTarget.value);
          }}
        />
      </label>
      <button
        type="button"
        class="more"
        aria-expanded={mixerOpen.value}
        aria-controls="mixer"
        onClick={() => {
          mixerOpen.value = !mixerOpen.value;
        }}
      >
        Levels and count-in
      </button>
      {soundTrouble.value !== null && (
        <p role="alert" class="trouble">
          {soundTrouble.value}
        </p>
      )}
      {preparing.value !== null && (
        <p role="status" class="quiet">
          Preparing {preparing.value}…
        </p>
      )}
      {mixerOpen.value && <Mixer />}
      <FirstSound />
    </footer>
  );
}

function loopHere(): void {
  const id = heardPlace.value?.section ?? from.value?.section ?? opened.value?.routine.sections[0]?.id;
  if (id === undefined) return;
  const on = loop.value.kind === "section" && loop.value.section === id;
  setLoop(on ? { kind: "none" } : { kind: "section", section: id });
}

function Where() {
  const heard = heardPlace.value;
  const sections = opened.value?.routine.sections ?? [];
  const id = heard?.section ?? from.value?.section ?? sections[0]?.id;
  const section = sections.find((one) => one.id === id);
  const title = section?.name ?? section?.id ?? "";
  return (
    <div class="place">
      <div class="quiet">{playsAlone.value ? aloneWord.value : title}</div>
      {heard === null ? (
        <span class="quiet">{starting.value ? "Starting…" : "Stopped"}</span>
      ) : heard.countingIn ? (
        <strong>Counting in</strong>
      ) : (
        <strong>
          {heard.bar >= 1 ? `Bar ${heard.bar}` : "Lead-in"} <span class="quiet">beat {heard.beat}</span>
        </strong>
      )}
    </div>
  );
}
