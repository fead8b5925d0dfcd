/** A mend does what it promises, on random routines; and there are enough of them wherever that is possible. */
import { platterSpeed } from "../../schemas/rig.ts";
import { describe, expect, it } from "vitest";
import type { Mend, MendKind, PlacementRef } from "../../schemas/facts.ts";
import type { PlacedEvent, TimedSection } from "../../schemas/performance.ts";
import type { PatternPlacement, Routine, Section } from "../../schemas/routine.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { Edit } from "../../schemas/edit.ts";
import { describe as describeRoutine } from "../../server/facts/describe.ts";
import { familiesOf } from "../../server/facts/mendJoin.ts";
import { mendsOf } from "../../server/facts/mends.ts";
import { checkRoutine } from "../../server/routine/check.ts";
import { compile } from "../../server/routine/compile.ts";
import { applyEdit } from "../../server/routine/edit.ts";
import { limitsOf, repeatsEvery, sampleOf } from "../../server/routine/lookups.ts";
import { parseFraction, unitsOf } from "../../server/time/fraction.ts";
import { holds } from "../reference/laws.ts";
import { routines } from "../reference/random.ts";

const facts = (routine: Routine) => describeRoutine(routine, compile(routine));

function applied(routine: Routine, { edit }: Mend): Routine {
  const result = applyEdit(routine, Edit.parse(edit));
  if ("refused" in result) throw new Error(result.refused);
  return result.routine;
}

const ascending = (mends: readonly Mend[]) =>
  mends.every(({ quarters }, n) => n === 0 || quarters >= (mends[n - 1]?.quarters ?? 0));

/** Seconds from a placement's second whole step to its last, at the fastest tempo of its section, without swing. */
function secondsToGive(routine: Routine, { section, placement }: PlacementRef): number {
  const index = routine.sections.findIndex(({ id }) => id === section);
  const { tempo, placements, swing } = routine.sections[index] as Section;
  const { performance } = compile(routine).sections[index] as TimedSection;
  const placed = performance.placed.find((one) => one.placement === placement) as PlacedEvent;
  // A pickup goes in the time of another section, and swing makes steps uneven: not judged here.
  if (placed.start < 0 || swing !== undefined) return 0;
  const pattern = routine.patterns.find(
    ({ id }) => id === (placements[placement] as PatternPlacement).pattern,
  );
  const step = Number(unitsOf(parseFraction(pattern?.record.step ?? "1/16")));
  const fastest = typeof tempo === "number" ? tempo : Math.max(tempo.from, tempo.to);
  return Math.max(0, ((placed.end - placed.start - 3 * step) / UNITS_PER_QUARTER) * (60 / fastest));
}

/** Seconds that the way to the same sound can take at most, within the limits. */
function longestWay(routine: Routine, { section, placement }: PlacementRef, sampleChanges: boolean): number {
  const { rig } = routine;
  const limits = limitsOf(rig);
  if (sampleChanges) return limits.changeSeconds;
  const { placements, pitch } = routine.sections.find(({ id }) => id === section) as Section;
  const sample = sampleOf(rig, (placements[placement] as PatternPlacement).sample);
  const every = repeatsEvery(sample);
  return every === 0 ? Number.POSITIVE_INFINITY : every / 2 / (limits.speed * platterSpeed(rig, pitch));
}

describe("mends", () => {
  it("give the verdict they promise, the smallest first, and bring no error", () => {
    const kinds = new Map<MendKind, number>();
    const found = new Map<string, number>();
    let joins = 0;
    holds("mends", 25, routines, (routine) => {
      const before = facts(routine);
      const wasBeyond = beyond(before);
      for (const { id, joins: here, placements } of before.sections) {
        for (const { to, from, verdict, sampleChanges } of here) {
          const { join: mends, why } = mendsOf(routine, to);
          if (verdict !== "beyond your limits") {
            expect([mends, why]).toEqual([[], null]);
            continue;
          }
          joins++;
          expect(ascending(mends)).toBe(true);
          const families = familiesOf(mends);
          const key = `${families} of ${sampleChanges ? "another" : "the same"} sample`;
          found.set(key, (found.get(key) ?? 0) + 1);
          // Three changes that are different in kind, or a sentence that says why not.
          expect(families < 3).toBe(why !== null);
          const has = new Set(mends.map(({ kind }) => kind));
          expect(has).toContain("cue-button");
          if (!sampleChanges) expect(has).toContain("start-on-record");
          // Who can give up the time that the longest way takes, and a step, can always leave so much earlier.
          if (secondsToGive(routine, from) >= longestWay(routine, to, sampleChanges))
            expect([has.has("leave-earlier"), families >= 3]).toEqual([true, true]);
          for (const mend of mends) {
            kinds.set(mend.kind, (kinds.get(mend.kind) ?? 0) + 1);
            const after = applied(routine, mend);
            expect(checkRoutine(after)).toEqual([]);
            const mended = facts(after);
            const join = mended.sections
              .find((section) => section.id === to.section)
              ?.joins.find((one) => one.to.placement === to.placement);
            expect(join?.verdict).toBe(mend.promises);
            expect(mend.promises).not.toBe("beyond your limits");
            expect(beyond(mended).filter((one) => !wasBeyond.includes(one))).toEqual([]);
          }
        }
        for (const { placement, landing } of placements) {
          const { landing: mends } = mendsOf(routine, { section: id, placement });
          if (landing.steps === "0") expect(mends).toEqual([]);
          expect(ascending(mends)).toBe(true);
          for (const mend of mends) {
            kinds.set(mend.kind, (kinds.get(mend.kind) ?? 0) + 1);
            const after = applied(routine, mend);
            expect(checkRoutine(after)).toEqual([]);
            const landed = facts(after)
              .sections.find((section) => section.id === id)
              ?.placements.find((one) => one.placement === placement);
            expect(landed?.landing.steps).toBe("0");
          }
        }
      }
    });
    console.log("mends:", Object.fromEntries(kinds), Object.fromEntries(found));
    expect(joins).toBeGreaterThan(0);
  });
});

/** The joins beyond the limits, by where they lead. */
const beyond = ({ sections }: ReturnType<typeof facts>): string[] =>
  sections.flatMap(({ joins }) =>
    joins
      .filter(({ verdict }) => verdict === "beyond your limits")
      .map(({ to }) => `${to.section} ${to.placement}`),
  );
