/** What can be done with what a MIDI file holds, as edits of a routine. Nothing is done before the user chooses. */
import type { Edit, SingleEdit } from "../../../schemas/edit.ts";
import type { Performance } from "../../../schemas/performance.ts";
import {
  type Beat,
  DEFAULT_VELOCITY,
  type Hit,
  isWords,
  type Pattern,
  type Routine,
} from "../../../schemas/routine.ts";
import { called } from "../../routine/called.ts";
import { freeId, idsOf } from "../../../schemas/freeId.ts";
import { parseFraction, unitsOf } from "../../time/fraction.ts";
import type { TempoStretch } from "./tempoMap.ts";

export interface Offer {
  readonly words: string;
  readonly edit: Edit;
}

/** @param section id of the one whose clip it is; null where it is nobody's */
export function beatOffers(
  routine: Routine,
  performance: Performance,
  section: string | null,
  beat: Beat,
): { readonly offers: readonly Offer[]; readonly same: boolean } {
  const added: SingleEdit = {
    kind: "add-beat",
    beat: { ...beat, id: freeId(beat.id, idsOf(routine.beats)) },
  };
  const asNew: Offer = { words: `Add the beat ${called(beat)}`, edit: added };
  const index = routine.sections.findIndex(({ id }) => id === section);
  const owner = routine.sections[index];
  if (owner === undefined) return { offers: [asNew], same: false };
  const own = routine.beats.find(({ id }) => id === owner.beat);
  const offers: Offer[] = [
    {
      words: `Add it, and let it play in ${called(owner)}`,
      edit: {
        kind: "batch",
        words: `Brought in a beat for ${called(owner)}`,
        edits: [
          added,
          {
            kind: "change-section",
            id: owner.id,
            set: { beat: added.beat.id, beatContinues: null, beatRests: null },
          },
        ],
      },
    },
    asNew,
  ];
  const folded =
    own === undefined ? null : foldedInto(own, beat, owner.beatRests ?? [], performance.sections[index]);
  if (own === undefined || folded === null) return { offers, same: false };
  if (JSON.stringify(sorted(folded)) === JSON.stringify(sorted(own.hits))) return { offers, same: true };
  const change: Edit = {
    kind: "change-beat",
    id: own.id,
    set: { hits: folded.map((hit) => ({ ...hit, at: [...hit.at] })) },
  };
  return {
    offers: [{ words: `Change the beat ${called(own)} as in the file`, edit: change }, ...offers],
    same: false,
  };
}

/** Each hit alone, in order, so that lists that say the same are the same. */
const sorted = (hits: readonly Hit[]): [number, number, number][] =>
  hits
    .flatMap(({ key, at, velocity }) =>
      at.map((one): [number, number, number] => [one, key, velocity ?? DEFAULT_VELOCITY]),
    )
    .sort((a, b) => a[0] - b[0] || a[1] - b[1]);

/** The hits of one round, where the file repeats the beat as the section plays it; else null. */
function foldedInto(
  own: Beat,
  read: Beat,
  rests: readonly number[],
  section: Performance["sections"][number] | undefined,
): Hit[] | null {
  const step = unitsOf(parseFraction(own.step));
  if (section === undefined || step === null || own.step !== read.step) return null;
  const { beatPhase, bar } = section.performance;
  if (beatPhase % step !== 0) return null;
  const phase = beatPhase / step;
  const resting = (at: number): boolean => rests.includes(1 + Math.floor((at * step) / bar));
  const struck = new Map<string, number>();
  for (const { key, at, velocity } of read.hits)
    for (const one of at) struck.set(`${key} ${one}`, velocity ?? DEFAULT_VELOCITY);
  const keys = [...new Set(read.hits.map(({ key }) => key))].sort((a, b) => a - b);
  const hits: Hit[] = [];
  for (const key of keys) {
    const byVelocity = new Map<number, number[]>();
    for (let place = 0; place < own.steps; place++) {
      const rounds = [];
      for (let at = (place - phase + own.steps * 2) % own.steps; at < read.steps; at += own.steps)
        if (!resting(at)) rounds.push(struck.get(`${key} ${at}`) ?? 0);
      // A place that is never heard here keeps what it has.
      const before = own.hits.find((hit) => hit.key === key && hit.at.includes(place));
      const velocity = rounds[0] ?? (before === undefined ? 0 : (before.velocity ?? DEFAULT_VELOCITY));
      if (rounds.some((one) => one !== velocity)) return null;
      if (velocity > 0) byVelocity.set(velocity, [...(byVelocity.get(velocity) ?? []), place]);
    }
    for (const [velocity, at] of [...byVelocity].sort(([a], [b]) => b - a))
      hits.push({ key, at, ...(velocity === DEFAULT_VELOCITY ? {} : { velocity }) });
  }
  return hits;
}

export function patternOffers(routine: Routine, section: string | null, pattern: Pattern): Offer[] {
  const added = { ...pattern, id: freeId(pattern.id, idsOf(routine.patterns)) };
  const add = { kind: "add-pattern", pattern: added } as SingleEdit;
  const asNew: Offer = { words: `Add the phrase ${called(pattern)}`, edit: add };
  const owner = routine.sections.find(({ id }) => id === section);
  if (owner === undefined) return [asNew];
  const played = owner.placements.flatMap((expected, index) =>
    isWords(expected) ? [] : [{ section: owner.id, index, expected }],
  );
  const remove: SingleEdit[] = played.length === 0 ? [] : [{ kind: "remove-placements", placements: played }];
  const place: SingleEdit = {
    kind: "add-placements",
    section: owner.id,
    placements: [{ pattern: added.id, bar: 1, lasts: { bars: owner.bars } }],
  };
  return [
    {
      words: `Play it in ${called(owner)}, in place of the phrases there`,
      edit: {
        kind: "batch",
        words: `Brought in the sounds of ${called(owner)}`,
        edits: [add, ...remove, place],
      },
    },
    asNew,
  ];
}

/** Microseconds a quarter; what a file can tell. */
const microseconds = (tempo: TempoStretch["tempo"]): [number, number] => {
  const { from, to } = typeof tempo === "number" ? { from: tempo, to: tempo } : tempo;
  return [60e6 / from, 60e6 / to];
};
/** A tempo in a file is a whole number of microseconds, and a ramp is steps: what says the same is no change. */
function sameTempo(a: TempoStretch["tempo"], b: TempoStretch["tempo"]): boolean {
  const [x, y] = [microseconds(a), microseconds(b)];
  const ramp = typeof a !== "number" || typeof b !== "number";
  return x.every((one, index) => Math.abs(one - (y[index] ?? 0)) <= (ramp ? 200 : 1));
}

/** @param section id of the one whose clip it is; null where it is the whole routine's, or nobody's */
export function tempoOffers(
  routine: Routine,
  section: string | null,
  stretches: readonly TempoStretch[],
): { readonly offers: readonly Offer[]; readonly same: boolean } {
  const over = section === null ? routine.sections : routine.sections.filter(({ id }) => id === section);
  const changes: SingleEdit[] = [];
  if (stretches.length === over.length) {
    for (const [index, { bars, meter, tempo }] of stretches.entries()) {
      const own = over[index] as Routine["sections"][number];
      const set = {
        ...(own.bars === bars ? {} : { bars }),
        ...(own.meter === meter ? {} : { meter }),
        ...(sameTempo(own.tempo, tempo) ? {} : { tempo }),
      };
      if (Object.keys(set).length > 0) changes.push({ kind: "change-section", id: own.id, set });
    }
  }
  const taken = idsOf(routine.sections);
  const added = stretches.map(({ name, bars, meter, tempo }, index): SingleEdit => {
    const id = freeId(`from-file-${index + 1}`, taken);
    taken.add(id);
    const title = name ?? `From the file, ${index + 1}`;
    return {
      kind: "add-section",
      section: { id, name: title, bars, meter, tempo, placements: [] },
      before: null,
    };
  });
  const several = (count: number): string => (count === 1 ? "one section" : `${count} sections`);
  const offers: Offer[] = [];
  if (changes.length > 0) {
    offers.push({
      words: `Change bars, metre and tempo of ${several(changes.length)} as in the file`,
      edit: { kind: "batch", words: "Brought in a tempo map", edits: changes },
    });
  }
  if (section === null) {
    offers.push({
      words: `Add ${several(added.length)} at the end`,
      edit: { kind: "batch", words: "Added sections from a tempo map", edits: added },
    });
  }
  return { offers, same: stretches.length === over.length && changes.length === 0 };
}
