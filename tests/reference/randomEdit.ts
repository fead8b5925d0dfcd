/** Random edits of a routine, as a client would send them: many leave a routine without errors, some do not. */
import fc from "fast-check";
import type { Edit } from "../../schemas/edit.ts";
import type { Placement, Routine, Section } from "../../schemas/routine.ts";
import { type Draw, drawRoutine, oneIn, oneOf } from "./random.ts";

/** Something that is changed a little in a placement. */
function changed(draw: Draw, placement: Placement, routine: Routine): Placement {
  const { lasts, carriesOn, recordAt, ...rest } = { carriesOn: undefined, recordAt: undefined, ...placement };
  const where = { ...(lasts ? { lasts } : {}) };
  const held = {
    ...(carriesOn === undefined ? {} : { carriesOn }),
    ...(recordAt === undefined ? {} : { recordAt }),
  };
  const made = oneOf(
    draw,
    { ...rest, ...where, ...held, bar: placement.bar + oneOf(draw, 1, -1) },
    { ...rest, ...where, ...held, at: oneOf(draw, "1/16", "1/8", "1/12", "0") },
    { ...rest, ...held },
    { ...rest, ...held, lasts: { bars: 1 } },
    { ...rest, ...where, ...held, player: oneOf(draw, 1, 2) },
    "pattern" in placement
      ? { ...rest, ...where, recordAt: oneOf(draw, 30, -100) }
      : { ...rest, ...where, words: "Breathe" },
    "pattern" in placement ? { ...rest, ...where, carriesOn: true } : { ...rest, ...where },
    "pattern" in placement
      ? { ...rest, ...where, ...held, pattern: oneOf(draw, ...routine.patterns).id, faderFrom: 0 }
      : { ...rest, ...where },
  );
  return made as Placement;
}

/** A section without what refers to its own routine. */
const bare = ({ bars, meter, tempo }: Section, id: string): Section => ({
  id,
  bars,
  meter,
  tempo,
  placements: [],
});

/** @param donor another routine, whose parts come in */
export function drawEdit(draw: Draw, routine: Routine, donor: Routine = drawRoutine(draw)): Edit {
  const section = oneOf(draw, ...routine.sections);
  const other = oneOf(draw, ...routine.sections);
  const given = oneOf(draw, ...donor.sections);
  const pattern = oneOf(draw, ...routine.patterns);
  const index = draw(indexIn(section.placements));
  const there = section.placements[index];

  if (there !== undefined && oneIn(draw, 2)) {
    const placement = { section: section.id, index, expected: there };
    if (oneIn(draw, 4)) return { kind: "remove-placements", placements: [placement] };
    const to = changed(draw, there, routine);
    const into = oneIn(draw, 4) ? { into: other.id } : {};
    return { kind: "change-placements", changes: [{ placement, to, ...into }] };
  }
  const id = section.id;
  const edits: readonly Edit[] = [
    { kind: "change-section", id, set: { tempo: given.tempo } },
    { kind: "change-section", id, set: { meter: given.meter } },
    { kind: "change-section", id, set: { bars: given.bars } },
    { kind: "change-section", id, set: { swing: given.swing ?? null } },
    { kind: "change-section", id, set: { pitch: given.pitch ?? null } },
    { kind: "change-section", id, set: { beat: routine.beats[0]?.id ?? null, beatRests: null } },
    { kind: "change-section", id, set: { beat: null, beatContinues: null, beatRests: null } },
    { kind: "change-section", id, set: { beatContinues: oneIn(draw, 2) ? true : null } },
    { kind: "change-section", id, set: { beatRests: oneIn(draw, 2) ? [1] : null } },
    { kind: "move-section", id, before: other.id },
    { kind: "remove-section", id },
    {
      kind: "add-section",
      section: bare(given, `new-${draw(anyNumber)}`),
      before: oneIn(draw, 2) ? id : null,
    },
    {
      kind: "add-placements",
      section: id,
      placements: [{ pattern: pattern.id, bar: oneOf(draw, 1, 2, 0), player: oneOf(draw, 1, 3) }],
    },
    { kind: "change-pattern", id: pattern.id, set: { record: oneOf(draw, ...donor.patterns).record } },
    { kind: "change-pattern", id: pattern.id, set: { fader: oneOf(draw, ...donor.patterns).fader } },
    { kind: "change-id", of: "pattern", id: pattern.id, to: `new-${draw(anyNumber)}` },
    { kind: "change-id", of: "section", id, to: `new-${draw(anyNumber)}` },
    { kind: "change-rig", set: { platter: oneOf(draw, 33, 45, 78) } },
    { kind: "change-rig", set: { limits: oneIn(draw, 2) ? { speed: 1 } : null } },
    ...(donor.beats[0] && routine.beats[0]
      ? [
          {
            kind: "change-beat" as const,
            id: routine.beats[0].id,
            set: { step: donor.beats[0].step, steps: donor.beats[0].steps, hits: donor.beats[0].hits },
          },
        ]
      : []),
  ];
  return oneOf(draw, ...edits);
}

const anyNumber = fc.nat({ max: 1_000_000 });
const indexIn = (list: readonly unknown[]) => fc.nat({ max: Math.max(0, list.length - 1) });
