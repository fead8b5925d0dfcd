/** The foot of every screen: play and stop, where one is, loop, speed, count-in, and the mixer when it is wanted. */

import { signal } from "@preact/signals";
import { useRef } from "preact/hooks";
import { NumberField } from "../parts/Fields.tsx";
import { useActions } from "../state/actions.ts";
import { channelLevels, comes, heardShown, level } from "../state/settings.ts";
import { opened } from "../state/store.ts";
import { followRows, heardPlace } from "./follow.ts";
import { LoopChoice } from "./LoopChoice.tsx";
import { coming, playing, preparing, soundTrouble, starting } from "./player.ts";
import { SoundDetails } from "./SoundDetails.tsx";
import {
  alone,
  aloneWord,
  cautionDue,
  clicks,
  countIn,
  from,
  heedCaution,
  loop,
  muted,
  playOrStop,
  playsAlone,
  setClicks,
  setLoop,
  setSpeed,
  speed,
  stay,
} from "./transport.ts";
import type { Levels } from "./workletMessages.ts";

const mixerOpen = signal(false);

export function Transport() {
  const now = opened.value;
  const on = playing.value || starting.value;
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
    <footer class="foot" aria-label="Playing">
      <button type="button" class="play" aria-pressed={on} onClick={playOrStop}>
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
      <Caution />
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

const CHANNEL_NAMES: Readonly<Record<keyof Levels, string>> = {
  hands: "Both hands",
  others: "Other players",
  beat: "Beat",
  clicks: "Clicks",
};

function Mixer() {
  const players = opened.value?.routine.sections.some((section) =>
    section.placements.some(({ player }) => (player ?? 1) > 1),
  );
  const channels = (Object.keys(CHANNEL_NAMES) as (keyof Levels)[]).filter(
    (c) => c !== "others" || players === true,
  );
  return (
    <div id="mixer" class="mixer">
      {channels.map((channel) => (
        <fieldset key={channel} class="line channel">
          <legend>{CHANNEL_NAMES[channel]}</legend>
          <input
            type="range"
            aria-label={`Level of ${CHANNEL_NAMES[channel]}`}
            min={0}
            max={1}
            step={0.01}
            value={channelLevels[channel].value}
            onInput={(event) => {
              channelLevels[channel].value = Number(event.currentTarget.value);
            }}
          />
          <button
            type="button"
            aria-pressed={muted.value.has(channel)}
            onClick={() => {
              const next = new Set(muted.value);
              if (!next.delete(channel)) next.add(channel);
              muted.value = next;
            }}
          >
            Silent
          </button>
          <button
            type="button"
            aria-pressed={alone.value === channel}
            onClick={() => {
              alone.value = alone.value === channel ? null : channel;
            }}
          >
            Alone
          </button>
        </fieldset>
      ))}
      <label class="field">
        <span>Count-in</span>
        <select
          value={countIn.value}
          onChange={(event) => {
            countIn.value = Number(event.currentTarget.value);
          }}
        >
          {[0, 1, 2, 3, 4].map((bars) => (
            <option key={bars} value={bars}>
              {bars === 0 ? "none" : bars === 1 ? "1 bar" : `${bars} bars`}
            </option>
          ))}
        </select>
      </label>
      <label class="field">
        <span>While playing, another phrase or place comes</span>
        <select
          value={comes.value}
          onChange={(event) => {
            comes.value = event.currentTarget.value as typeof comes.value;
          }}
        >
          <option value="now">at once</option>
          <option value="group">with the next group</option>
          <option value="beat">on the next beat</option>
          <option value="bar">on the next bar</option>
        </select>
      </label>
      {(["beat", "record", "fader"] as const).map((which) => (
        <label key={which} class="field">
          <input
            type="checkbox"
            checked={clicks.value[which]}
            onChange={(event) => setClicks({ ...clicks.value, [which]: event.currentTarget.checked })}
          />
          {
            { beat: "Click on the beat", record: "Click on record groups", fader: "Click on fader groups" }[
              which
            ]
          }
        </label>
      ))}
      <SoundDetails />
      <p class="quiet">
        Loud sound harms hearing, in headphones most of all. The program cannot know how loud it is at your
        ear: 80 dBA for 40 hours a week is the recognised limit (WHO-ITU H.870), 85 dBA for 8 hours at work
        (NIOSH). Ringing ears mean stop, and ask a hearing professional.
      </p>
    </div>
  );
}

/** Said once in this browser, before the first sound. */
function Caution() {
  const ref = useRef<HTMLDialogElement>(null);
  if (cautionDue.value && ref.current?.open === false) ref.current.showModal();
  return (
    <dialog
      ref={ref}
      aria-label="Before the first sound"
      onClose={() => {
        cautionDue.value = false;
      }}
    >
      <h2>Before the first sound</h2>
      <p>
        Playing starts quiet. Loud sound harms hearing, in headphones and near loudspeakers most of all, and
        the program cannot know how loud it is at your ear. Recognised limits are 80 dBA for 40 hours a week,
        75 dBA for children (WHO-ITU H.870), and 85 dBA for 8 hours at work (NIOSH 98-126). Ringing ears mean
        stop; what lasts is for a hearing professional. Local rules come first.
      </p>
      <div class="line">
        <button
          type="button"
          autofocus
          onClick={() => {
            ref.current?.close();
            heedCaution();
          }}
        >
          Play, quietly
        </button>
        <button type="button" onClick={() => ref.current?.close()}>
          Not now
        </button>
      </div>
    </dialog>
  );
}
