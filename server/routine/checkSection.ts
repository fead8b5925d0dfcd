/** Errors of one section and of its placements, each for itself. */
import { samplesOf } from "../../schemas/rig.ts";
import type { Problem } from "../../schemas/problem.ts";
import {
  isWords,
  type Pattern,
  type PatternPlacement,
  type Placement,
  type Section,
} from "../../schemas/routine.ts";
import { parseMeter } from "../time/meter.ts";
import { parseFraction, unitsOf } from "../time/fraction.ts";
import { barWords, called, plural } from "./called.ts";
import { problem } from "./catalogue.ts";
import type { Part, Parts, SectionPart } from "./check.ts";
import { NAMELESS } from "./readable.ts";
import { finer, isFiner, rememberedWith } from "./finding.ts";
import { Memory } from "../../schemas/memory.ts";

function checkOwn(parts: Parts, index: number, section: Section): Problem[] {
  const name = called(section);
  const problems: Problem[] = [];
  const say = (code: Parameters<typeof problem>[0], field: string, message: string): void => {
    problems.push(problem(code, `/${field}`, `${name}: ${message}`));
  };
  if (parseMeter(section.meter) === null) {
    say(
      "out-of-range",
      "meter",
      `metre ${section.meter} has an upper number from 1 to 64 and a lower of 1, 2, 4, 8, 16 or 32. Change it.`,
    );
  }
  if (section.swing !== undefined && isFiner(section.swing.of)) {
    problems.push(finer("/swing/of", name, "the step that swings"));
  }
  if (
    section.beat !== undefined &&
    parts.beats !== null &&
    !parts.beats.some(({ id }) => id === section.beat)
  ) {
    say("unknown-beat", "beat", `there is no beat "${section.beat}". Choose one that is there, or add it.`);
  }
  if (section.beatContinues === true) {
    const before = parts.sections?.[index - 1];
    if (section.beat === undefined || (before?.value !== null && before?.value?.beat !== section.beat)) {
      say(
        "nothing-to-carry-on",
        "beatContinues",
        "the section before has another beat or none, so its beat cannot go on. Remove beatContinues, or give both the same beat.",
      );
    }
  }
  for (const [rest, bar] of (section.beatRests ?? []).entries()) {
    if (bar <= section.bars) continue;
    say(
      "out-of-range",
      `beatRests/${rest}`,
      `the beat rests in bar ${bar}, but there are ${section.bars} bars. Remove the rest.`,
    );
  }
  return problems;
}

const partMaps = new Memory<readonly Part<Pattern>[], ReadonlyMap<string, Part<Pattern>>>();

/** The first pattern of an id, whether its shape is right or not. */
function patternPart({ patterns }: Parts, id: string): Part<Pattern> | undefined {
  if (patterns === null) return undefined;
  let map = partMaps.get(patterns);
  if (map === undefined) {
    const entries = patterns.map((part): [string, Part<Pattern>] => [part.id ?? "", part]);
    map = new Map(entries.reverse());
    partMaps.set(patterns, map);
  }
  return map.get(id);
}

/** How many of a cycle may be done before a placement begins. */
const doneBefore = ({ length }: readonly unknown[]): string => (length === 1 ? "0" : `0 to ${length - 1}`);

function checkPatternPlacement(
  parts: Parts,
  placement: PatternPlacement,
  place: string,
  where: string,
): Problem[] {
  const problems: Problem[] = [];
  const say = (code: Parameters<typeof problem>[0], field: string, message: string): void => {
    problems.push(problem(code, `${place}/${field}`, `${where}: ${message}`));
  };
  const pattern = patternPart(parts, placement.pattern);
  if (parts.patterns !== null && pattern === undefined && placement.pattern !== NAMELESS) {
    say(
      "unknown-pattern",
      "pattern",
      `there is no phrase "${placement.pattern}". Choose one that is there, or add it.`,
    );
  }
  if (pattern?.value) {
    const { record, fader } = pattern.value;
    // Without any, those that stand in the file are wrong.
    if (record.strokes.length > 0 && (placement.recordFrom ?? 0) >= record.strokes.length) {
      say(
        "start-outside-cycle",
        "recordFrom",
        `the record hand has ${plural(record.strokes.length, "stroke")}, so it starts with ${doneBefore(record.strokes)} of them done. Choose one of these.`,
      );
    }
    if (fader.cells.length > 0 && (placement.faderFrom ?? 0) >= fader.cells.length) {
      say(
        "start-outside-cycle",
        "faderFrom",
        `the fader hand has ${plural(fader.cells.length, "cell")}, so it starts with ${doneBefore(fader.cells)} of them done. Choose one of these.`,
      );
    }
  }
  if (placement.carriesOn === true && placement.recordAt !== undefined) {
    say(
      "two-starts",
      "recordAt",
      "the record either goes on where it was left or starts at a place of its own. Remove one of the two.",
    );
  }
  if (parts.rig !== null) {
    const samples = samplesOf(parts.rig);
    const sample =
      placement.sample === undefined ? samples[0] : samples.find(({ id }) => id === placement.sample);
    if (sample === undefined) {
      say(
        "unknown-sample",
        "sample",
        `there is no sample "${placement.sample}". Choose one that is there, or add it.`,
      );
    } else if (
      typeof placement.recordAt === "string" &&
      !sample.cues?.some(({ id }) => id === placement.recordAt)
    ) {
      say(
        "unknown-cue",
        "recordAt",
        `the sample "${sample.id}" has no cue "${placement.recordAt}". Choose one that it has, or add it.`,
      );
    }
  }
  return problems;
}

function checkPlacement(parts: Parts, part: SectionPart, placement: Placement, place: string): Problem[] {
  const section = part.value;
  const name = section === null ? (part.id ?? "A section") : called(section);
  // A bar that is wrong itself names no place.
  const where = Number.isNaN(placement.bar) ? name : `${name}, ${barWords(placement.bar)}`;
  const problems: Problem[] = [];
  if (placement.at !== undefined) {
    const at = unitsOf(parseFraction(placement.at));
    const bar = section === null ? null : parseMeter(section.meter);
    if (at === null) problems.push(finer(`${place}/at`, where, "the position in the bar"));
    else if (bar !== null && at >= bar.bar) {
      problems.push(
        problem(
          "out-of-range",
          `${place}/at`,
          `${where}: ${placement.at} of a whole note lies outside a bar of ${section?.meter}. Put it into a later bar.`,
        ),
      );
    }
  }
  return isWords(placement)
    ? problems
    : [...problems, ...checkPatternPlacement(parts, placement, place, where)];
}

const inSection = rememberedWith<Section>();
const inPlacements = rememberedWith<Section["placements"]>();

/** Places are JSON Pointers from the section. Found once for a section as long as what it uses is the same. */
export function sectionProblems(parts: Parts, index: number): readonly Problem[] {
  const part = parts.sections?.[index] as SectionPart;
  const ofOwn = (): Problem[] => (part.value === null ? [] : checkOwn(parts, index, part.value));
  const ofPlacements = (): Problem[] =>
    part.placements.flatMap((placement, at) =>
      placement === null ? [] : checkPlacement(parts, part, placement, `/placements/${at}`),
    );
  const { routine } = parts;
  const section = routine?.sections[index];
  if (routine === null || section === undefined) return [...ofOwn(), ...ofPlacements()];
  const { rig, patterns, beats } = routine;
  return inSection(section, [rig, patterns, beats, routine.sections[index - 1]?.beat], () => {
    const { id, name, meter, placements } = section;
    // A tempo, or a pitch, reaches no placement.
    return [...ofOwn(), ...inPlacements(placements, [rig, patterns, id, name, meter], ofPlacements)];
  });
}
