/** Levels of what is heard, count-in and clicks, and when another phrase or place comes while playing. */
import { channelLevels, comes } from "../state/settings.ts";
import { opened } from "../state/shown.ts";
import { SoundDetails } from "./SoundDetails.tsx";
import { alone, muted } from "./levels.ts";
import { clicks, countIn, setClicks } from "./transport.ts";
import type { Levels } from "./workletMessages.ts";

const CHANNEL_NAMES: Readonly<Record<keyof Levels, string>> = {
  hands: "Both hands",
  others: "Other players",
  beat: "Beat",
  clicks: "Clicks",
};

export function Mixer() {
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
