/**
 * Changes that mend a phrase that lands badly, so that its placement is cut off at the end of a whole combined cycle:
 * cut what is over, go on to the next landing, start later or earlier by what it takes, or fill what is over with
 * groups. Each is tried: the routine with it has no errors, the placement lands, and no join is worse off.
 */
import type { SingleEdit } from "../../schemas/edit.ts";
import type { Mend, PlacementRef } from "../../schemas/facts.ts";
import { fractionText } from "../../schemas/fraction.ts";
import type { PatternPlacement, Routine } from "../../schemas/routine.ts";
import { called, plural } from "../routine/called.ts";
import { combinedUnits } from "../routine/layout.ts";
import { parseFraction } from "../time/fraction.ts";
import { inRecordSteps } from "./combined.ts";
import { fill, groupOf } from "./fill.ts";
import {
  type Bench,
  barAndAt,
  benchOf,
  changed,
  countBeyond,
  durationOf,
  type Here,
  hereOf,
  mendOf,
  type Proposal,
  smallestFirst,
  type Worked,
} from "./mendBench.ts";

/** More groups than these are not put into one gap. */
const MOST_GROUPS = 8;

interface Loose {
  readonly bench: Bench;
  readonly here: Here;
  /** Units: of a combined cycle, of what is over, of what is missing to the next landing. */
  readonly combined: number;
  readonly over: number;
  readonly missing: number;
  /** Whole combined cycles before what is over. */
  readonly repeats: number;
}

type Proposals = Generator<Proposal>;

const inSteps = (length: number, { pattern }: Here): string =>
  plural(fractionText(inRecordSteps(length, pattern)), "step");

function* cutLastRepeat({ here, over, repeats }: Loose): Proposals {
  if (repeats === 0) return;
  yield {
    kind: "cut-last-repeat",
    words: `End ${called(here.pattern)} ${inSteps(over, here)} earlier, after ${plural(repeats, "repeat")}.`,
    edits: [changed({ here, to: { lasts: { cycles: repeats } } })],
    size: over,
  };
}

function* lengthen({ here, missing, repeats }: Loose): Proposals {
  yield {
    kind: "lengthen",
    words: `Play ${called(here.pattern)} ${inSteps(missing, here)} longer.`,
    edits: [changed({ here, to: { lasts: { cycles: repeats + 1 } } })],
    size: missing,
  };
}

function* startEarlier({ here, missing, repeats }: Loose): Proposals {
  yield {
    kind: "start-earlier",
    words: `Start ${called(here.pattern)} ${inSteps(missing, here)} earlier.`,
    edits: [
      changed({
        here,
        to: { ...barAndAt(here.placed.start - missing, here.bar), lasts: { cycles: repeats + 1 } },
      }),
    ],
    size: missing,
  };
}

function* startLater({ here, over, repeats }: Loose): Proposals {
  if (repeats === 0) return;
  yield {
    kind: "start-later",
    words: `Start ${called(here.pattern)} ${inSteps(over, here)} later.`,
    edits: [
      changed({ here, to: { ...barAndAt(here.placed.start + over, here.bar), lasts: { cycles: repeats } } }),
    ],
    size: over,
  };
}

/** The repeats that are whole, and then those of the user's patterns that fill what is over exactly. */
function* addGroups({ bench, here, combined, over, repeats }: Loose): Proposals {
  if (repeats === 0) return;
  const { patterns } = bench.routine;
  const { step } = here.pattern.record;
  const groups = patterns.slice(0, 64).map((pattern) => groupOf(pattern, step));
  const filling = fill({ gap: inRecordSteps(over, here.pattern), groups, top: 1 });
  if ("refused" in filling) return;
  const best = filling.best[0];
  if (best === undefined || best.length > MOST_GROUPS) return;
  const { sample, player } = here.placement;
  let at = here.placed.start + repeats * combined;
  const added: PatternPlacement[] = [];
  for (const index of best) {
    const pattern = patterns[index];
    if (pattern === undefined) return;
    const place = barAndAt(at, here.bar);
    added.push({
      pattern: pattern.id,
      bar: place.bar,
      ...(place.at === undefined ? {} : { at: place.at }),
      lasts: { cycles: 1 },
      ...(sample === undefined ? {} : { sample }),
      ...(player === undefined ? {} : { player }),
      carriesOn: true,
    });
    at += Number(combinedUnits(pattern));
  }
  const edits: SingleEdit[] = [
    changed({ here, to: { lasts: { cycles: repeats } } }),
    { kind: "add-placements", section: here.ref.section, placements: added },
  ];
  const names = best.map((index) => called(patterns[index] as { id: string; name?: string }));
  yield {
    kind: "add-groups",
    words: `Fill the last ${inSteps(over, here)} with ${names.join(", ")}.`,
    edits,
    size: over,
  };
}

const KINDS = [cutLastRepeat, lengthen, startLater, startEarlier, addGroups] as const;

function landsAt({ sections }: Worked, { section, placement }: PlacementRef): boolean {
  const facts = sections
    .find(({ id }) => id === section)
    ?.placements.find((one) => one.placement === placement);
  return facts !== undefined && parseFraction(facts.landing.steps).n === 0n;
}

/**
 * The mends of a placement that is cut off within its combined cycle, the smallest first; none where it lands. One
 * of each kind at most.
 *
 * @param routine without errors
 */
export function landingMends(routine: Routine, ref: PlacementRef): Mend[] {
  const bench = benchOf(routine);
  const here = hereOf(bench, ref);
  if (here === null || landsAt(bench, ref)) return [];
  const combined = combinedUnits(here.pattern);
  if (combined > BigInt(Number.MAX_SAFE_INTEGER)) return [];
  const length = Number(combined);
  const over = durationOf(here) % length;
  const loose: Loose = {
    bench,
    here,
    combined: length,
    over,
    missing: length - over,
    repeats: Math.floor(durationOf(here) / length),
  };
  const had = countBeyond(bench.sections);
  const mends = KINDS.flatMap((kind) => {
    for (const proposal of kind(loose)) {
      const tried = bench.tryOut(proposal.edits);
      if (
        tried === null ||
        !landsAt(tried, ref) ||
        countBeyond(tried.sections) > had ||
        !bench.isClean(tried)
      )
        continue;
      return [mendOf(proposal, "lands")];
    }
    return [];
  });
  return smallestFirst(mends);
}
