/** Errors of one section and of its placements, each for itself. */
import { samplesOf } from "../../schemas/rig.ts";
import type { Problem } from "../../schemas/problem.ts";
import {
  type Beat,
  isWords,
  type Pattern,
  type PatternPlacement,
  type Placement,
  type Rig,
  type Section,
} from "../../schemas/routine.ts";
import { parseMeter } from "../time/meter.ts";
import { parseFraction, unitsOf } from "../time/fraction.ts";
import { barWords, called } from "./called.ts";
import { problem } from "./catalogue.ts";
import type { Part, Parts, SectionPart } from "./check.ts";
import { finer, isFiner } from "./finding.ts";

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

const partMaps = new WeakMap<Parts, ReadonlyMap<string, Part<Pattern>>>();

/** The first pattern of an id, whether its shape is right or not. */
function patternPart(parts: Parts, id: string): Part<Pattern> | undefined {
  let map = partMaps.get(parts);
  if (map === undefined) {
    const entries = (parts.patterns ?? []).map((part): [string, Part<Pattern>] => [part.id ?? "", part]);
    map = new Map(entries.reverse());
    partMaps.set(parts, map);
  }
  return map.get(id);
}

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
  if (parts.patterns !== null && pattern === undefined) {
    say(
      "unknown-pattern",
      "pattern",
      `there is no phrase "${placement.pattern}". Choose one that is there, or add it.`,
    );
  }
  if (pattern?.value) {
    const { record, fader } = pattern.value;
    if ((placement.recordFrom ?? 0) >= record.strokes.length) {
      say(
        "start-outside-cycle",
        "recordFrom",
        `the record hand has ${record.strokes.length} strokes, so it starts with 0 to ${record.strokes.length - 1} of them done. Choose one of these.`,
      );
    }
    if ((placement.faderFrom ?? 0) >= fader.cells.length) {
      say(
        "start-outside-cycle",
        "faderFrom",
        `the fader hand has ${fader.cells.length} cells, so it starts with 0 to ${fader.cells.length - 1} of them done. Choose one of these.`,
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
  const where = `${name}, ${barWords(placement.bar)}`;
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

/** All that what is found in a section depends on, besides the section. */
interface Uses {
  readonly rig: Rig | undefined;
  readonly patterns: readonly Pattern[];
  readonly beats: readonly Beat[];
  readonly before: Section | undefined;
}

const known = new WeakMap<Section, Uses & { readonly problems: readonly Problem[] }>();

/** Places are JSON Pointers from the section. Found once for a section as long as what it uses is the same. */
export function sectionProblems(parts: Parts, index: number): readonly Problem[] {
  const { routine } = parts;
  const section = routine?.sections[index];
  if (routine === null || section === undefined) return checkSection(parts, index);
  const { rig, patterns, beats } = routine;
  const before = routine.sections[index - 1];
  const last = known.get(section);
  if (
    last !== undefined &&
    last.rig === rig &&
    last.patterns === patterns &&
    last.beats === beats &&
    last.before === before
  ) {
    return last.problems;
  }
  const problems = checkSection(parts, index);
  known.set(section, { rig, patterns, beats, before, problems });
  return problems;
}

function checkSection(parts: Parts, index: number): Problem[] {
  const part = parts.sections?.[index] as SectionPart;
  const problems = part.value === null ? [] : checkOwn(parts, index, part.value);
  for (const [at, placement] of part.placements.entries()) {
    if (placement === null) continue;
    problems.push(...checkPlacement(parts, part, placement, `/placements/${at}`));
  }
  return problems;
}
