/** What is used of a sample's sound and where 0 degrees lies, on its waveform. */
import type { Sample } from "../../schemas/routine.ts";
import { tidy } from "../parts/music.ts";
import type { Sound } from "./decode.ts";
import { changeSample, cueAfter, trimmed } from "./samples.ts";
import { type Mark, Waveform } from "./Waveform.tsx";

/** Seconds that are left between start and end at least. */
const SHORTEST = 0.01;

/** @param speed degrees a second of the platter; @param every degrees after which it repeats, 0: never */
export function SampleTrim(props: {
  sample: Sample;
  sound: Sound;
  name: string;
  speed: number;
  every: number;
}) {
  const { sample, sound, name, speed, every } = props;
  const from = sample.trim?.from ?? 0;
  const to = Math.min(sample.trim?.to ?? sound.seconds, sound.seconds);
  const cue = sample.cue ?? 0;
  const put = (set: { from?: number; to?: number }): void =>
    changeSample(sample.id, (now) => trimmed(now, sound.seconds, set), `Trim ${name}`);
  const round = every / speed;
  // Of a sound longer than its repeat, the round with the cue in it is on the record.
  const first = every === 0 ? from : from + Math.floor(cue / round) * round;
  const last = every === 0 ? to : Math.min(to, first + round);
  const marks: Mark[] = [
    {
      id: "from",
      name: "Start",
      at: from,
      least: 0,
      most: to - SHORTEST,
      put: (at) => put({ from: at }),
    },
    {
      id: "to",
      name: "End",
      at: to,
      least: from + SHORTEST,
      most: sound.seconds,
      put: (at) => put({ to: at }),
    },
    {
      id: "cue",
      name: "Cue: 0 degrees",
      at: from + cue,
      least: from,
      most: to,
      put: (at) =>
        changeSample(
          sample.id,
          ({ trim }) => ({ cue: cueAfter(at - (trim?.from ?? 0)) }),
          `Move the cue of ${name}`,
        ),
    },
  ];
  return (
    <>
      <Waveform
        sound={sound}
        name={name}
        used={{ from: first, to: last }}
        marks={marks}
        lines={every === 0 ? [] : [first, first + round].filter((at) => at > from && at < to)}
      />
      {every > 0 && to - from > round + 1e-3 && (
        <p class="quiet">
          The sound lasts {tidy(to - from)} seconds, longer than its repeat of {tidy(round)}: only the part
          that is not greyed is on the record. Set the repeat to 0, or to a greater number, to hear all of it.
        </p>
      )}
    </>
  );
}
