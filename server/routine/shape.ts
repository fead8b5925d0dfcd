/** From what the schema says of a file's shape to problems in the words of the catalogue. */
import type { z } from "zod";
import type { Problem, ProblemCode } from "../../schemas/problem.ts";
import { pointer, problem } from "./catalogue.ts";
import { whereOf } from "./where.ts";

type Issue = z.core.$ZodIssue;
type Path = readonly PropertyKey[];

export interface ShapeProblem {
  readonly path: Path;
  readonly problem: Problem;
}

function valueAt(raw: unknown, path: Path): unknown {
  let here = raw;
  for (const part of path) {
    if (typeof here !== "object" || here === null || !Object.hasOwn(here, part)) return undefined;
    here = (here as Record<PropertyKey, unknown>)[part];
  }
  return here;
}

const kindOf = (value: unknown): string =>
  value === null
    ? "null"
    : Array.isArray(value)
      ? "a list"
      : typeof value === "object"
        ? "an object"
        : `a ${typeof value}`;

/** A value as one would write it, where that is short. */
const shown = (value: unknown): string =>
  typeof value === "object" ? kindOf(value) : JSON.stringify(value).slice(0, 80);

const EXPECTED: Readonly<Record<string, string>> = {
  int: "a whole number",
  number: "a number",
  string: "a text",
  boolean: "true or false",
  array: "a list",
  object: "an object",
};

/** Of a union, the issues of the branch that the value comes nearest to; what has words and no pattern is words. */
function nearest(errors: readonly (readonly Issue[])[], value: unknown): readonly Issue[] {
  if (typeof value === "object" && value !== null && "words" in value && !("pattern" in value))
    return errors.at(-1) ?? [];
  const cost = (issues: readonly Issue[]): number =>
    issues.some(({ code, path }) => code === "invalid_type" && path.length === 0) ? 1000 : issues.length;
  return errors.reduce((best, next) => (cost(next) < cost(best) ? next : best));
}

function bound(issue: Extract<Issue, { code: "too_small" | "too_big" }>): string {
  const limit = Number(issue.code === "too_small" ? issue.minimum : issue.maximum);
  const unit = issue.origin === "array" ? "entr" : issue.origin === "string" ? "character" : "";
  const items =
    unit === ""
      ? ""
      : unit === "entr"
        ? ` entr${limit === 1 ? "y" : "ies"}`
        : ` character${limit === 1 ? "" : "s"}`;
  return issue.code === "too_small"
    ? `${issue.inclusive === false ? "above" : "at least"} ${issue.minimum}${items}`
    : `${issue.inclusive === false ? "below" : "at most"} ${issue.maximum}${items}`;
}

/** @param base path of the value that the issues' paths start from */
export function shapeProblems(raw: unknown, issues: readonly Issue[], base: Path = []): ShapeProblem[] {
  return issues.flatMap((issue): ShapeProblem[] => {
    const path = [...base, ...issue.path];
    const value = valueAt(raw, path);
    const where = whereOf(raw, path);
    const say = (code: ProblemCode, message: string, at: Path = path): ShapeProblem[] => [
      { path: at, problem: problem(code, pointer(...at), message) },
    ];
    if (value === undefined && path.length > 0) {
      return say("missing-field", `${where}: this field is missing. Add it.`);
    }
    switch (issue.code) {
      case "invalid_union":
        if (issue.errors.length === 0)
          return say("wrong-type", `${where}: ${kindOf(value)} cannot stand here.`);
        return shapeProblems(raw, nearest(issue.errors, value), path);
      case "unrecognized_keys":
        return issue.keys.flatMap((key) =>
          say(
            "unknown-field",
            `${where}: there is no field "${key}" here. Remove it, or mend its spelling.`,
            [...path, key],
          ),
        );
      case "too_small":
      case "too_big":
        return say("out-of-range", `${where}: must be ${bound(issue)}. Change the value.`);
      case "invalid_value": {
        const choices = issue.values.map(String).join(", ");
        const code =
          typeof value === "number" && typeof issue.values[0] === "number" ? "out-of-range" : "wrong-type";
        return say(code, `${where}: ${shown(value)} is none of ${choices}. Choose one of them.`);
      }
      case "custom":
        return say("finer-than-clock", `${where}: ${shown(value)} ${issue.message}. Change the value.`);
      case "invalid_type":
        // A number that is written with more digits than can be counted is read as without end.
        if (typeof value === "number" && !Number.isFinite(value))
          return say("out-of-range", `${where}: the number is too large to count with. Change the value.`);
        return say(
          "wrong-type",
          `${where}: takes ${EXPECTED[issue.expected] ?? issue.expected}, not ${shown(value)}. Change the value.`,
        );
      default:
        return say("wrong-type", `${where}: ${shown(value)} ${issue.message}. Change the value.`);
    }
  });
}
