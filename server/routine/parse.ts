/** From the bytes of a routine file to a routine, or to all the problems it has. */
import type { Problem } from "../../schemas/problem.ts";
import { FORMAT, LARGEST_FILE, Routine, VERSION } from "../../schemas/routine.ts";
import { pointer, problem } from "./catalogue.ts";
import { checkReadable, checkRoutine } from "./check.ts";
import { findJsonFault, lineAndColumn } from "./json.ts";
import { readable } from "./readable.ts";
import { shapeProblems } from "./shape.ts";
import { whereOf } from "./where.ts";

export type Parsed =
  | { readonly routine: Routine; readonly problems: readonly [] }
  | { readonly routine: null; readonly problems: readonly Problem[] };

const refused = (...problems: readonly Problem[]): Parsed => ({ routine: null, problems });

/** @returns the routine, or every error of the file at once (no warnings: see facts/warnings.ts) */
export function parseRoutine(source: string | Uint8Array): Parsed {
  if (source.length > LARGEST_FILE) {
    return refused(problem("out-of-range", "", "The file is larger than 32 MiB. Split the routine in two."));
  }
  let text: string;
  try {
    text =
      typeof source === "string"
        ? source.replace(/^\uFEFF/, "")
        : new TextDecoder("utf-8", { fatal: true }).decode(source);
  } catch {
    return refused(problem("not-json", "", notUtf8(source as Uint8Array)));
  }
  const fault = findJsonFault(text);
  if (fault?.kind === "not-json") {
    const { line, column } = lineAndColumn(text, fault.offset);
    const what =
      fault.offset >= text.length
        ? "the file ends too early"
        : `${JSON.stringify(text[fault.offset])} cannot stand here`;
    return refused(
      problem(
        "not-json",
        "",
        `The file is not JSON: line ${line}, column ${column}: ${what}. Mend it there.`,
      ),
    );
  }
  const raw: unknown = JSON.parse(text);
  const twin =
    fault === null
      ? []
      : [
          problem(
            "unknown-field",
            pointer(...fault.path),
            `${whereOf(raw, fault.path)}: this field stands here twice. Remove one of them.`,
          ),
        ];
  const parsed = readRoutine(raw);
  return twin.length === 0 ? parsed : refused(...twin, ...parsed.problems);
}

/** The same from a value that is JSON already. */
function readRoutine(raw: unknown): Parsed {
  if (typeof raw !== "object" || raw === null || Array.isArray(raw)) {
    return refused(problem("wrong-format", "", "The file is JSON, but no routine. Open another file."));
  }
  const { format, version } = raw as Record<string, unknown>;
  if (format !== FORMAT) {
    return refused(
      problem(
        "wrong-format",
        "/format",
        `The file is JSON, but its format is not "${FORMAT}". Open another file.`,
      ),
    );
  }
  if (typeof version === "number" && version > VERSION) {
    return refused(
      problem(
        "newer-version",
        "/version",
        `The file is of version ${version}; this program knows version ${VERSION}. Install a later one.`,
      ),
    );
  }
  const shape = Routine.safeParse(raw);
  if (shape.success) {
    const routine = shape.data as Routine;
    const problems = checkRoutine(routine);
    return problems.length === 0 ? { routine, problems: [] } : refused(...problems);
  }
  const found = shapeProblems(raw, shape.error.issues);
  return refused(...once([...found.map((one) => one.problem), ...checkReadable(readable(raw, found))]));
}

/** A value that breaks two bounds of its field is told once. */
function once(problems: readonly Problem[]): Problem[] {
  const seen = new Set<string>();
  return problems.filter(({ code, place }) => {
    const key = `${code} ${place}`;
    return !seen.has(key) && seen.add(key);
  });
}

function notUtf8(bytes: Uint8Array): string {
  const text = new TextDecoder().decode(bytes);
  const { line, column } = lineAndColumn(text, Math.max(0, text.indexOf("\uFFFD")));
  return `The file is not UTF-8: line ${line}, column ${column}. Save it as UTF-8.`;
}
