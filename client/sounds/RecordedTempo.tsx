/** Tempo and first beat of a beat's recording: as found, shown on its waveform, put right by dragging or tapping. */
import { useRef, useState } from "preact/hooks";
import type { Beat } from "../../schemas/routine.ts";
import { playing } from "../audio/playing.ts";
import { NumberField } from "../parts/Fields.tsx";
import { tidy, unitsOfText } from "../parts/music.ts";
import { useActions } from "../state/actions.ts";
import { withRoutine } from "../state/turn.ts";
import { type Found, find, type Recorded, stepsFor } from "./foundTempo.ts";
import { beatsIn, tappedTempo, tidySeconds, tidyTempo } from "./recordedBeats.ts";
import { soundOf } from "./soundFiles.ts";
import { type Mark, Waveform } from "./Waveform.tsx";

export function RecordedTempo(props: {
  beat: Beat;
  recorded: Recorded;
  put: (set: { recorded: Recorded; steps?: number }, words: string) => void;
}) {
  const { beat, recorded, put } = props;
  const sound = soundOf(recorded.file);
  const taps = useRef<number[]>([]);
  const [tapped, setTapped] = useState<number | null>(null);
  const name = beat.name ?? beat.id;
  const first = recorded.firstBeat ?? 0;
  const set = (what: Partial<Found> | ((now: Recorded) => Partial<Found>), words: string): void => {
    if (sound === null || typeof sound === "string") return;
    withRoutine(({ beats }) => {
      const there = beats.find(({ id }) => id === beat.id)?.recorded ?? recorded;
      const found = typeof what === "function" ? what(there) : what;
      const { firstBeat: was = 0, ...now } = there;
      const tempo = tidyTempo(found.tempo ?? now.tempo);
      const firstBeat = tidySeconds(found.firstBeat ?? was);
      put(
        {
          recorded: { ...now, tempo, ...(firstBeat === 0 ? {} : { firstBeat }) },
          steps: stepsFor(beat, sound.seconds, firstBeat, tempo),
        },
        words,
      );
    });
  };
  const tap = (): void => {
    taps.current = [...taps.current, performance.now() / 1000].slice(-64);
    setTapped(tappedTempo(taps.current));
  };
  const findAgain = async (): Promise<void> => {
    const found = await find(recorded.file);
    if (found !== null) set(found, `Find the tempo of ${name}`);
  };
  const slower = (): void => set((now) => ({ tempo: now.tempo / 2 }), `Halve the tempo of ${name}`);
  const faster = (): void => set((now) => ({ tempo: now.tempo * 2 }), `Double the tempo of ${name}`);
  const takeTapped = (): void => {
    if (tapped !== null) set({ tempo: tapped }, `Tap the tempo of ${name}`);
  };
  const [tooSlow, tooFast] = [recorded.tempo < 40, recorded.tempo > 200];
  useActions(
    "Recording",
    [
      { id: "r-tap", name: "Tap the tempo of the recording", keys: ["Shift+t"], run: tap },
      {
        id: "r-take",
        name: "Take the tempo as tapped",
        keys: [],
        run: takeTapped,
        disabled: () => tapped === null,
      },
      { id: "r-find", name: "Find the recording’s tempo again", keys: [], run: () => void findAgain() },
      {
        id: "r-half",
        name: "The recording is half as fast",
        keys: [],
        run: slower,
        disabled: () => tooSlow,
      },
      {
        id: "r-twice",
        name: "The recording is twice as fast",
        keys: [],
        run: faster,
        disabled: () => tooFast,
      },
    ],
    [beat, sound, tapped],
  );
  if (typeof sound === "string") return <p class="trouble">{sound}</p>;
  if (sound === null)
    return (
      <p role="status" class="waiting">
        Fetching {recorded.file} …
      </p>
    );
  const beats = beatsIn(sound.seconds, first, recorded.tempo);
  const far = beats.length - 1;
  const marks: Mark[] = [
    {
      id: "first",
      name: "First beat",
      at: first,
      least: 0,
      most: sound.seconds,
      put: (at) => set({ firstBeat: at }, `Move the first beat of ${name}`),
    },
  ];
  if (far > 0)
    marks.push({
      id: "far",
      name: `Beat ${far + 1}`,
      at: beats[far] as number,
      least: first + (far * 60) / 400,
      most: Math.min(sound.seconds, first + (far * 60) / 20),
      put: (at) => set({ tempo: (60 * far) / (at - first) }, `Change the tempo of ${name}`),
    });
  return (
    <>
      <div class="line">
        <NumberField
          label="Its tempo"
          min={20}
          max={400}
          step="any"
          value={recorded.tempo}
          onValue={(tempo) => set({ tempo }, `Change the tempo of ${name}`)}
        />
        <NumberField
          label="First beat, seconds"
          min={0}
          max={3600}
          step="any"
          value={first}
          onValue={(firstBeat) => set({ firstBeat }, `Move the first beat of ${name}`)}
        />
        <button type="button" class="plain" onClick={() => void findAgain()}>
          Find again
        </button>
        <button type="button" class="plain" disabled={tooSlow} onClick={slower}>
          Half as fast
        </button>
        <button type="button" class="plain" disabled={tooFast} onClick={faster}>
          Twice as fast
        </button>
        <button type="button" disabled={!playing.value} onClick={tap}>
          Tap along
        </button>
        {tapped !== null && (
          <button type="button" onClick={takeTapped}>
            Take {tidy(tapped)} as tapped
          </button>
        )}
      </div>
      <Waveform
        key={recorded.file}
        sound={sound}
        name={recorded.file}
        used={{
          from: first,
          to: Math.min(
            sound.seconds,
            first + ((beat.steps * unitsOfText(beat.step)) / unitsOfText("1/4")) * (60 / recorded.tempo),
          ),
        }}
        marks={marks}
        lines={beats}
      />
      <p class="quiet">
        Dashed lines are its quarter notes. Move the first beat onto its sound, then the far one: that sets
        the tempo. It follows the routine’s tempo as a record does, by turning faster or slower. To tap along
        (Shift+T), play it first: here it turns at its own speed.
      </p>
    </>
  );
}
