/** Errors of beats over their sections: one may have more hits there than can be held. */
import type { Problem } from "../../schemas/problem.ts";
import { parseMeter } from "../time/meter.ts";
import { called } from "./called.ts";
import { pointer, problem } from "./catalogue.ts";
import type { Parts } from "./check.ts";
import { beatProblems } from "./checkBeat.ts";
import { beatRoom, MOST_ROOM } from "./room.ts";

interface Drums {
  readonly problems: readonly Problem[];
  /** Bytes that all hits take that can be held. */
  readonly room: number;
}

/** Sections and beats that are wrong themselves are passed over. */
export function checkDrums({ sections, beats, unsure }: Parts): Drums {
  const problems: Problem[] = [];
  let room = 0;
  for (const [index, { value: section }] of (sections ?? []).entries()) {
    if (section?.beat === undefined || unsure.has(section)) continue;
    const meter = parseMeter(section.meter);
    const beat = beats?.find(({ id }) => id === section.beat)?.value;
    if (meter === null || beat == null || beatProblems(beat).length > 0) continue;
    const more = beatRoom(beat, section.bars * meter.bar);
    if (room + more <= MOST_ROOM) room += more;
    else {
      problems.push(
        problem(
          "out-of-range",
          pointer("sections", index, "beat"),
          `${called(section)}: here the beats have more hits than can be held. Shorten the section, or give its beat longer steps.`,
        ),
      );
    }
  }
  return { problems, room };
}
