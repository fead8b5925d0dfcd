/**
 * What can still be checked of a file whose shape is wrong in places: the file with each wrong value taken out, or
 * with a quiet one in its place that no check can find fault with. So a wrong name hides no overlap, and all problems
 * of a file are told at once.
 */
import { DEFAULT_TRAVEL } from "../../schemas/routine.ts";
import type { ShapeProblem } from "./shape.ts";

type Path = readonly PropertyKey[];
type Fields = Record<PropertyKey, unknown>;

export interface Readable {
  readonly file: unknown;
  /** Paths of wrong values that nothing can stand in for: the part that they stand in is passed over. */
  readonly bad: readonly Path[];
  /** Patterns, sections and placements of `file` whose length or place is not known, since what says it is wrong. */
  readonly unsure: ReadonlySet<object>;
}

type Quiet = (parent: Fields, key: PropertyKey) => void;
const gone: Quiet = (parent, key) => delete parent[key];
const as =
  (value: unknown): Quiet =>
  (parent, key) => {
    parent[key] = structuredClone(value);
  };
/** What a thing is called in sentences that has no id, and what a placement plays that does not say it. */
export const NAMELESS = "without an id";
/** An id that is a text is kept: what refers to it is not to blame. */
const named: Quiet = (parent, key) => {
  if (typeof parent[key] !== "string") parent[key] = NAMELESS;
};

/** A stroke or cell of unknown length: neither its splits nor its closures can be judged. */
function unmeasured(item: Fields): void {
  delete item.length;
  if (item.times !== undefined) item.times = 1;
  if (item.fader === "click") delete item.closedFor;
  if (item.fader === "pulse") delete item.openFor;
}
const noLength: Quiet = (parent) => unmeasured(parent);
const noStep: Quiet = (parent, key) => {
  parent[key] = "1/16";
  for (const items of [parent.strokes, parent.cells])
    for (const item of Array.isArray(items) ? items : []) if (isFields(item)) unmeasured(item);
};
const noBeat: Quiet = (parent, key) => {
  delete parent[key];
  delete parent.beatContinues;
};

const PATTERN = 2;
const SECTION = 2;
const PLACEMENT = 4;

/**
 * By path from the file, `*` for any place in a list, what goes quiet where something is wrong there or within; and
 * how many parts of the path name the thing that is unsure then. What comes first goes first: a whole stroke after
 * its fields.
 */
const RULES: readonly (readonly [path: string, quiet: Quiet, unsure?: number])[] = [
  ["title", gone],
  ["timeLimit", gone],
  ["rig/platter", gone],
  ["rig/recordHand", gone],
  ["rig/turntable", gone],
  ["rig/reversedFader", gone],
  ["rig/limits", gone],
  ["rig/samples/*/cues/*/at", as(0)],
  ...["name", "builtIn", "file", "trim", "cue", "repeatsEvery"].map(
    (field) => [`rig/samples/*/${field}`, gone] as const,
  ),
  ["patterns/*/id", named],
  ["patterns/*/name", gone],
  ["patterns/*/record/strokes/*/travel", as(DEFAULT_TRAVEL)],
  ["patterns/*/record/strokes/*/shape", as("eased")],
  ["patterns/*/record/strokes/*/times", as(1)],
  ["patterns/*/record/strokes/*/length", noLength, PATTERN],
  ["patterns/*/record/strokes/*", as({ move: "hold" }), PATTERN],
  ["patterns/*/record/strokes", as([]), PATTERN],
  ["patterns/*/record/step", noStep, PATTERN],
  ["patterns/*/record", as({ step: "1/16", strokes: [] }), PATTERN],
  ["patterns/*/fader/cells/*/times", as(1)],
  ["patterns/*/fader/cells/*/closedFor", gone],
  ["patterns/*/fader/cells/*/openFor", gone],
  ["patterns/*/fader/cells/*/length", noLength, PATTERN],
  ["patterns/*/fader/cells/*", as({ fader: "closed" }), PATTERN],
  ["patterns/*/fader/cells", as([]), PATTERN],
  ["patterns/*/fader/step", noStep, PATTERN],
  ["patterns/*/fader", as({ step: "1/16", cells: [] }), PATTERN],
  ["beats/*/id", named],
  ["beats/*/name", gone],
  ["beats/*/recorded", gone],
  ["beats/*/step", as("1/16")],
  ["beats/*/steps", as(Number.POSITIVE_INFINITY)],
  ["beats/*/hits/*/velocity", gone],
  ["beats/*/hits/*/at/*", as(0)],
  ["beats/*/hits/*", as({ key: 0, at: [] })],
  ["sections/*/id", named],
  ["sections/*/name", gone],
  ["sections/*/tempo", as(120)],
  ["sections/*/pitch", gone],
  ["sections/*/swing", gone],
  ["sections/*/beat", noBeat],
  ["sections/*/beatContinues", gone],
  ["sections/*/beatRests", gone],
  ["sections/*/bars", as(Number.POSITIVE_INFINITY), SECTION],
  ["sections/*/meter", as("64/1"), SECTION],
  ["sections/*/placements/*/arrives", gone],
  ["sections/*/placements/*/carriesOn", gone],
  ["sections/*/placements/*/recordFrom", gone],
  ["sections/*/placements/*/faderFrom", gone],
  ["sections/*/placements/*/recordAt", as(0)],
  ["sections/*/placements/*/at", gone, PLACEMENT],
  ["sections/*/placements/*/lasts", gone, PLACEMENT],
  ["sections/*/placements/*/player", gone, PLACEMENT],
  ["sections/*/placements/*/sample", gone, PLACEMENT],
  ["sections/*/placements/*/bar", as(Number.NaN), PLACEMENT],
  ["sections/*/placements/*/pattern", as(NAMELESS), PLACEMENT],
];

const isFields = (value: unknown): value is Fields => typeof value === "object" && value !== null;

function at(file: unknown, path: Path): unknown {
  return path.reduce<unknown>((here, part) => (isFields(here) ? here[part] : undefined), file);
}

/** @param file is changed; @param found what is wrong with its shape */
export function readable(file: unknown, found: readonly ShapeProblem[]): Readable {
  const unsure = new Set<object>();
  const doubt = (path: Path): void => {
    const thing = at(file, path);
    if (isFields(thing)) unsure.add(thing);
  };
  let left: readonly Path[] = found.flatMap(({ path, problem }) => {
    const parent = problem.code === "unknown-field" ? at(file, path.slice(0, -1)) : undefined;
    if (!isFields(parent)) return [path];
    delete parent[path.at(-1) as PropertyKey];
    return [];
  });
  for (const [rule, quiet, depth] of RULES) {
    const parts = rule.split("/");
    left = left.filter((path) => {
      if (path.length < parts.length || !parts.every((part, index) => part === "*" || part === path[index]))
        return true;
      const parent = at(file, path.slice(0, parts.length - 1));
      if (!isFields(parent)) return true;
      quiet(parent, path[parts.length - 1] as PropertyKey);
      if (depth !== undefined) doubt(path.slice(0, depth));
      return false;
    });
  }
  return { file, bad: left, unsure };
}
