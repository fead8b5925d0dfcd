/** A comparison as it is kept and shown: each sound with its hand, its step of the group, and what can be heard there. */
import type { Performance } from "../../schemas/performance.ts";
import type { HandsHeard, HeardSound, RecordingResult } from "../../schemas/recording.ts";
import type { Place } from "../../schemas/soundWire.ts";
import { isWords, type Pattern, type Routine } from "../../schemas/routine.ts";
import { faderRound } from "../hands/fader.ts";
import { recordRound } from "../hands/record.ts";
import { patternsOf } from "../routine/lookups.ts";
import { NOTHING_BEFORE, unheardMs } from "../../schemas/unheard.ts";
import type { Timeline } from "../time/timeline.ts";
import type { RecordingCompared } from "./compareRecording.ts";
import type { Meant, Stretch } from "./expected.ts";

/** A cut is the fader's doing; every other onset the record's. */
const handOf = ({ onset }: Pick<Meant, "onset">): "record" | "fader" =>
  onset === "cut" ? "fader" : "record";

export const ofHands =
  (hands: HandsHeard) =>
  (sound: Meant): boolean =>
    hands === "both" || hands === handOf(sound);

/** @returns the result, and the place up to which it is judged; null where that is the stretch's end */
export function resultOf(
  routine: Routine,
  performance: Performance,
  timeline: Timeline,
  stretch: Stretch,
  compared: RecordingCompared,
): { readonly result: RecordingResult; readonly upTo: Place | null } {
  const patterns = patternsOf(routine);
  const startSeconds = timeline.secondsAt(stretch.from, "straight");
  const sounds = compared.sounds.map((sound, index): HeardSound => {
    const section = routine.sections[sound.section];
    const placed = section?.placements[sound.placement];
    const pattern = placed === undefined || isWords(placed) ? undefined : patterns.get(placed.pattern);
    const start = performance.sections[sound.section]?.performance.placed.find(
      ({ placement }) => placement === sound.placement,
    )?.start;
    const hand = handOf(sound);
    const first =
      placed === undefined || isWords(placed)
        ? 0
        : ((hand === "record" ? placed.recordFrom : placed.faderFrom) ?? 0);
    const before = compared.sounds[index - 1];
    return {
      section: section?.id ?? "",
      at: sound.at,
      placement: sound.placement,
      onset: sound.onset,
      hand,
      ...(pattern === undefined
        ? { step: 1, steps: 1 }
        : stepOf(pattern, hand, sound.at - (start ?? 0), first)),
      errorMs: sound.errorMs,
      unheardMs: unheardMs(before === undefined ? NOTHING_BEFORE : sound.time - before.time),
    };
  });
  const placeOf = (time: number): Place => {
    const position = timeline.positionAt(Math.max(0, startSeconds + time * stretch.speed));
    const index = timeline.sectionAt(Math.min(Math.max(position, stretch.from), stretch.to - 1));
    return {
      section: routine.sections[index]?.id ?? "",
      at: Math.round(position - (performance.sections[index]?.start ?? 0)),
    };
  };
  const extra = compared.extra.map(placeOf);
  const { precision, recall, f, matched, lagMs, beatLagMs, spreadMs, upTo } = compared;
  const result = { precision, recall, f, matched, lagMs, beatLagMs, spreadMs, sounds, extra };
  return { result, upTo: upTo === null ? null : placeOf(upTo) };
}

/** @param into units from the placement's start; @param first strokes or cells that it starts into the cycle */
function stepOf(pattern: Pattern, hand: "record" | "fader", into: number, first: number) {
  let length: number;
  let step: number;
  let offset: number;
  if (hand === "record") {
    const round = recordRound(pattern.record);
    ({ length, step } = round);
    offset = round.moves[round.firstMoves[first] ?? 0]?.start ?? 0;
  } else {
    const round = faderRound(pattern.fader);
    ({ length, step } = round);
    offset = round.cellStarts[first] ?? 0;
  }
  const at = (((into + offset) % length) + length) % length;
  return { step: Math.floor(at / step + 1e-9) + 1, steps: Math.ceil(length / step - 1e-9) };
}
