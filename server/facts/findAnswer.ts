/** A combination as it is handed out, with all its facts in words. */
import type { Found } from "../../schemas/find.ts";
import { DEFAULT_TRAVEL, type FaderState, type Move } from "../../schemas/routine.ts";
import type { Steps } from "./distance.ts";
import { BABY, type Meeting, TEAR } from "./findMeeting.ts";
import { comeRound } from "./comeRound.ts";

/** Units of a step and of a bar. */
export interface Grid {
  readonly step: number;
  readonly bar: number;
}

const MOVES: readonly Move[] = ["hold", "forward", "back"];

/** What each hand does from the combination's start on, its fader turned by its phase. */
export function stepsOfMeeting({ record, fader, phase }: Meeting): Steps {
  const cells = fader.cells;
  return {
    record: Array.from(record.directions, (direction) => MOVES[direction] as Move),
    fader: cells.map((_, at) => cells[(at + phase) % cells.length] as FaderState),
  };
}

/** How long the strokes of the direction that moves less must be for the drift to be zero. */
function closing({ forwards, backs }: Meeting["record"]): Found["closesWith"] {
  if (forwards === backs || forwards === 0 || backs === 0) return null;
  return forwards > backs
    ? { move: "back", travel: (DEFAULT_TRAVEL * forwards) / backs }
    : { move: "forward", travel: (DEFAULT_TRAVEL * backs) / forwards };
}

/** Whether the drift is zero, or would be after the travels of one direction are scaled. */
export const isClosable = ({ record: { forwards, backs } }: Meeting): boolean =>
  forwards === backs || (forwards > 0 && backs > 0);

function namesOf(bits: number): string[] {
  const names: string[] = [];
  if ((bits & BABY) !== 0) names.push("baby");
  if ((bits & TEAR) !== 0) names.push("tear");
  return names;
}

export function foundOf(meeting: Meeting, grid: Grid, rankedAt?: number): Found {
  const steps = stepsOfMeeting(meeting);
  const round = comeRound(0, grid.bar, BigInt(meeting.combined) * BigInt(grid.step), null);
  return {
    record: [...steps.record],
    fader: [...steps.fader],
    phase: meeting.phase,
    combinedSteps: String(meeting.combined),
    comeRoundBars: round.bars,
    comeRoundRepeats: round.repeats,
    sounds: meeting.sounds,
    onsets: {
      cut: meeting.cut,
      turn: meeting.turn,
      restart: meeting.restart,
      "from-rest": meeting.fromRest,
    },
    mirrored: meeting.mirrored,
    driftDegrees: meeting.drift * DEFAULT_TRAVEL,
    closesWith: closing(meeting.record),
    names: namesOf(meeting.names),
    difficulty: meeting.difficulty,
    ...(rankedAt === undefined ? {} : { rankedAt }),
  };
}
