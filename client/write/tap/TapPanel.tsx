/** A hand's rhythm tapped over the beat: heard, shown against the chosen step, and taken as a cycle. */
import { useEffect, useState } from "preact/hooks";
import type { Pattern, Section } from "../../../schemas/routine.ts";
import { UNITS_PER_QUARTER } from "../../../schemas/units.ts";
import { followRows } from "../../audio/follow.ts";
import { LetMidiIn, midiText } from "../../audio/LetMidiIn.tsx";
import { playing } from "../../audio/playing.ts";
import { clicks, playOrStop, setClicks } from "../../audio/transport.ts";
import { TickField } from "../../parts/Fields.tsx";
import { Help } from "../../parts/Help.tsx";
import { barUnits, beatUnits, counted, stepName, tidy, unitsOfText } from "../../parts/music.ts";
import { useActions } from "../../state/actions.ts";
import { noteNames } from "../../state/settings.ts";
import { keep, letGoOfTrying, tryOut } from "../inHand.ts";
import { type Hand, tempoOf, withItems } from "../phrase.ts";
import { KIND_KEYS } from "../phraseActions.ts";
import { TapPicture } from "./TapPicture.tsx";
import { forget, forgetLast, letUp, press, taps, tooEarly, useTaps } from "./tapInput.ts";
import { type How, TapFields } from "./TapFields.tsx";
import { tapOverPhrase, tapping } from "./tapping.ts";
import { cycleOf, lateness, rhythmOf } from "./taps.ts";

export function TapPanel(props: { pattern: Pattern; home: Section; width: number; loop: number }) {
  const { pattern, home, width } = props;
  const hand = tapping.value ?? "record";
  const [how, setHow] = useState<How>({
    step: pattern[hand].step,
    from: "tap",
    length: null,
    lasts: "next",
    takeOff: true,
  });
  const { step, from, length, lasts, takeOff } = how;
  const loop = { length: props.loop, tempo: tempoOf(home) };
  const unit = unitsOfText(step);
  const milliseconds = 60_000 / (loop.tempo * UNITS_PER_QUARTER);
  const all = taps.value;
  const late = lateness(all, unit);
  const wish = {
    step: unit,
    bar: barUnits(home.meter),
    late: takeOff ? late : 0,
    from,
    length,
  };
  const rhythm = rhythmOf(all, wish);
  const items = rhythm === null || all.length < 2 ? null : cycleOf(rhythm, hand, lasts, unit);
  const written =
    items === null
      ? null
      : withItems({ ...pattern, [hand]: { ...pattern[hand], step } }, hand, items.slice(0, 256));
  const leave = (): void => {
    forget();
    letGoOfTrying();
    tapping.value = null;
  };
  const again = (): void => {
    forget();
    letGoOfTrying();
  };
  const take = (): void => {
    if (written === null) return;
    keep(written, `Tap the ${hand} hand`);
    forget();
    tapping.value = null;
  };
  useActions(
    "Tapping",
    [
      { id: "tap-take", name: "Take what was tapped", keys: [], run: take },
      { id: "tap-forget", name: "Forget the last tap", keys: [], run: forgetLast },
      { id: "tap-again", name: "Tap again", keys: [], run: again },
      { id: "tap-leave", name: "Leave the tapping", keys: [], run: leave },
    ],
    [written, hand],
  );
  useTaps(hand, loop, { Enter: take, Escape: leave, Backspace: forgetLast });
  useEffect(() => {
    if (written !== null) tryOut(written);
  }, [JSON.stringify(written?.[hand])]);
  useEffect(() => {
    // Without a beat there must be something to tap to.
    const before = clicks.peek();
    if (home.beat === undefined) setClicks({ ...before, beat: true });
    // The pads must stay under the fingers.
    const rolled = followRows.peek();
    followRows.value = false;
    return () => {
      setClicks(before);
      followRows.value = rolled;
      forget();
      letGoOfTrying();
      tapping.value = null;
    };
  }, []);
  const ms = (units: number): string => `${Math.abs(Math.round(units * milliseconds))} ms`;
  const kinds = KIND_KEYS.filter(([name]) =>
    ["forward", "back", "hold"].includes(name) ? hand === "record" : hand === "fader",
  );
  const worst = rhythm === null ? 0 : Math.max(...rhythm.placed.map(({ off }) => Math.abs(off)));
  const mean =
    rhythm === null
      ? 0
      : rhythm.placed.reduce((sum, { off }) => sum + Math.abs(off), 0) / rhythm.placed.length;
  const summary =
    rhythm === null || all.length < 2
      ? ""
      : `${counted(all.length, "tap")} make a cycle of ${tidy(rhythm.length)} steps. They are off the ${stepName(step, noteNames.value)} by ${ms(mean)} on the mean, by ${ms(worst)} at most.`;
  return (
    <section class="tap-panel" aria-label="Tap a rhythm">
      <div class="line">
        <h3>
          <Help term="tapping">Tap</Help> the
        </h3>
        <select
          aria-label="Hand that is tapped"
          value={hand}
          onChange={(e) => {
            again();
            tapping.value = e.currentTarget.value as Hand;
          }}
        >
          <option value="record">record hand</option>
          <option value="fader">fader hand</option>
        </select>
        <button type="button" aria-pressed={playing.value} onClick={playOrStop}>
          {playing.value ? "Stop the beat" : "Start the beat"}
        </button>
        <TickField
          label="with the phrase"
          value={tapOverPhrase.value}
          onValue={(on) => {
            tapOverPhrase.value = on;
          }}
        />
        <LetMidiIn />
        <span class="quiet">{midiText()}</span>
      </div>
      <div class="pads">
        {kinds.map(([name, key]) => (
          <button
            key={name}
            type="button"
            class="pad"
            onPointerDown={(e) => {
              e.currentTarget.setPointerCapture(e.pointerId);
              press(`pad ${e.pointerId}`, name, e.timeStamp, loop);
            }}
            onPointerUp={(e) => letUp(`pad ${e.pointerId}`, e.timeStamp, loop)}
          >
            {name} <kbd>{key.toUpperCase()}</kbd>
          </button>
        ))}
      </div>
      <p class="quiet" role="status">
        {tooEarly.value
          ? "Nothing is playing yet: start the beat with Space, then tap."
          : all.length === 0
            ? `Start the beat with Space, then tap here, with the keys shown, with any other letter${hand === "record" ? " (forward and back in turn)" : " (a click)"}, or on a MIDI device.${from === "tap" ? " The last tap begins the next round: it closes the cycle." : ""}`
            : all.length === 1
              ? "One tap so far."
              : summary}
      </p>
      {rhythm !== null && all.length > 1 && (
        <>
          <TapPicture
            rhythm={rhythm}
            step={unit}
            perBeat={Math.max(1, Math.round(beatUnits(home.meter) / unit))}
            width={width}
            text={`${summary} Above: where the taps were. Below: the steps they go to.`}
          />
          <details>
            <summary>Each tap</summary>
            <ol>
              {rhythm.placed.map(({ step: at, off, spare, tap }, index) => (
                <li key={index}>
                  {tap.name ?? (hand === "record" ? "stroke" : "cell")} on step {at + 1}
                  {spare ? " (there already, or closes the cycle)" : ""}: {ms(off)}{" "}
                  {off < 0 ? "early" : "late"}
                </li>
              ))}
            </ol>
          </details>
        </>
      )}
      <TapFields how={how} taps={all} late={late} ms={ms} onHow={setHow} />
      <div class="line">
        <button type="button" disabled={written === null} onClick={take}>
          Take it <kbd>Enter</kbd>
        </button>
        <button type="button" disabled={all.length === 0} onClick={forgetLast}>
          Forget the last tap
        </button>
        <button type="button" disabled={all.length === 0} onClick={again}>
          Tap again
        </button>
        <button type="button" onClick={leave}>
          Leave <kbd>Esc</kbd>
        </button>
      </div>
    </section>
  );
}
