/** MIDI while it plays: out to a port with clock, or after the clock of another program. */
import { useEffect } from "preact/hooks";
import { clockTempo, followState } from "../audio/clockFollow.ts";
import { clockNames, openClock } from "../audio/clockIn.ts";
import { chooseOutput, openOutput, outNames, outReady, outState } from "../audio/midiOut.ts";
import { ChoiceField, TickField } from "../parts/Fields.tsx";
import { tidy } from "../parts/music.ts";
import { clockInName, clockSent, midiOutName } from "../state/settings.ts";

const FOLLOWS = {
  off: "",
  waiting: "No clock comes yet. Start the other program’s clock.",
  following: "Follows",
  lost: "The clock stays out. Goes on at the last tempo, and follows again when it comes back.",
  far: "The clock is too fast or too slow to be followed: between a quarter and twice the section’s tempo is possible.",
} as const;

export function LivePart() {
  const state = outState.value;
  // Where a port is remembered the browser has been asked already.
  useEffect(() => {
    if (state === "open") void openClock();
  }, [state]);
  return (
    <>
      <p>
        While the routine plays, the strands of the mapping go out to a MIDI port in time with what is heard,
        with clock, start, stop and song position, so that another program can record or follow. Or this
        program follows the clock of another.
      </p>
      {state !== "open" && (
        <div class="line">
          <button type="button" disabled={state === "asking"} onClick={() => void openOutput()}>
            Look for MIDI ports
          </button>
          {state === "absent" && (
            <span class="trouble">
              This browser has no MIDI. Open the page in Chromium, Chrome, Edge or Firefox.
            </span>
          )}
          {state === "refused" && (
            <span class="trouble">
              MIDI was refused. Allow it in the browser’s settings for this page, then look again.
            </span>
          )}
        </div>
      )}
      {state === "open" && (
        <>
          <div class="line">
            <ChoiceField
              label="Send to"
              value={midiOutName.value}
              options={named("nothing", outNames.value, midiOutName.value)}
              onValue={chooseOutput}
            />
            <TickField
              label="with clock, start, stop and song position"
              value={clockSent.value}
              onValue={(on) => {
                clockSent.value = on;
              }}
            />
            <span role="status">
              {midiOutName.value !== "" && !outReady.value && (
                <span class="warn">It is not plugged in. It is used again as soon as it is.</span>
              )}
              {outReady.value && <span class="good">Ready: play, and it is sent.</span>}
            </span>
          </div>
          <div class="line">
            <ChoiceField
              label="Follow the clock of"
              value={clockInName.value}
              options={named("nobody", clockNames.value, clockInName.value)}
              onValue={(name) => {
                clockInName.value = name;
                void openClock();
              }}
            />
            <span role="status">
              {clockInName.value !== "" && (
                <span class={followState.value === "lost" || followState.value === "far" ? "warn" : ""}>
                  {FOLLOWS[followState.value]}
                  {clockTempo.value !== null && ` ${tidy(clockTempo.value, 1)} quarters a minute`}
                </span>
              )}
            </span>
          </div>
          {outNames.value.length === 0 && (
            <p class="warn">
              No port to send to is there. Plug in a MIDI interface, or set up a virtual port in the system’s
              MIDI settings; it appears here by itself.
            </p>
          )}
        </>
      )}
      <p class="quiet small">
        Every note is ended when play stops, the port is unplugged or the page is left, and the fader and bend
        are put back. Should the browser itself break off, a device that minds active sensing falls silent
        within a third of a second.
      </p>
    </>
  );
}

/** One that is chosen and not plugged in stays in the list. */
const named = (none: string, names: readonly string[], chosen: string): (readonly [string, string])[] => [
  ["", none],
  ...[...new Set([...names, ...(chosen === "" ? [] : [chosen])])].map((name) => [name, name] as const),
];
