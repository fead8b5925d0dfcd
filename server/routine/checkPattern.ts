/** Errors within one pattern. */
import type { Problem } from "../../schemas/problem.ts";
import type { Cell, Pattern, Stroke } from "../../schemas/routine.ts";
import { cellLengths } from "../hands/fader.ts";
import { strokeLengths } from "../hands/record.ts";
import { problem } from "./catalogue.ts";
import { finer, isFiner, remembered } from "./finding.ts";
import { called } from "./called.ts";

function checkStroke(stroke: Stroke, step: string, place: string, where: string): Problem[] {
  const problems: Problem[] = [];
  if (stroke.move === "hold") {
    for (const field of ["travel", "shape", "times"] as const) {
      if (stroke[field] === undefined) continue;
      problems.push(
        problem(
          "not-on-a-hold",
          `${place}/${field}`,
          `${where}: a hold takes no ${field}. Remove it, or choose a move.`,
        ),
      );
    }
  } else if (stroke.shape === "released") {
    if (stroke.move === "back") {
      problems.push(
        problem(
          "released-backward",
          `${place}/move`,
          `${where}: a released record turns forward only. Make the stroke forward, or give it another shape.`,
        ),
      );
    }
    for (const field of ["travel", "times"] as const) {
      if (stroke[field] === undefined) continue;
      problems.push(
        problem(
          "released-backward",
          `${place}/${field}`,
          `${where}: a released stroke takes no ${field}; the platter decides. Remove it.`,
        ),
      );
    }
  }
  if (isFiner(step)) return problems;
  const { length, split } = strokeLengths(step, stroke);
  if (length === null) problems.push(finer(`${place}/length`, where, "its length"));
  else if (split === null) problems.push(finer(`${place}/times`, where, "each of its equal moves"));
  return problems;
}

const TAKES: Readonly<Record<"times" | "closedFor" | "openFor", readonly Cell["fader"][]>> = {
  times: ["click", "pulse"],
  closedFor: ["click"],
  openFor: ["pulse"],
};

function checkCell(cell: Cell, step: string, place: string, where: string): Problem[] {
  const problems: Problem[] = [];
  for (const field of ["times", "closedFor", "openFor"] as const) {
    if (cell[field] === undefined || TAKES[field].includes(cell.fader)) continue;
    problems.push(
      problem(
        "unknown-field",
        `${place}/${field}`,
        `${where}: only a ${TAKES[field].join(" or a ")} takes ${field}. Remove it, or choose another cell.`,
      ),
    );
  }
  if (isFiner(step)) return problems;
  const { length, split, closed, openFor } = cellLengths(step, cell);
  if (length === null) problems.push(finer(`${place}/length`, where, "its length"));
  else if (split === null) problems.push(finer(`${place}/times`, where, "each of its equal parts"));
  if (cell.fader === "click" && closed === null)
    problems.push(finer(`${place}/closedFor`, where, "its closure"));
  if (cell.fader === "pulse" && cell.openFor !== undefined) {
    if (openFor === null) problems.push(finer(`${place}/openFor`, where, "its opening"));
    else if (split !== null && openFor >= split) {
      problems.push(
        problem(
          "opening-too-long",
          `${place}/openFor`,
          `${where}: it is open for as long as the pulse lasts or longer. Shorten the opening, or make the cell open.`,
        ),
      );
    }
  }
  return problems;
}

/** Places are JSON Pointers from the pattern. The same list for the same pattern. */
export const patternProblems = remembered(checkPattern);

function checkPattern(pattern: Pattern): Problem[] {
  const name = called(pattern);
  const { record, fader } = pattern;
  const problems: Problem[] = [];
  if (isFiner(record.step)) problems.push(finer("/record/step", `${name}, record hand`, "its step"));
  for (const [index, stroke] of record.strokes.entries()) {
    const where = `${name}, stroke ${index + 1}`;
    problems.push(...checkStroke(stroke, record.step, `/record/strokes/${index}`, where));
  }
  if (isFiner(fader.step)) problems.push(finer("/fader/step", `${name}, fader hand`, "its step"));
  for (const [index, cell] of fader.cells.entries()) {
    problems.push(...checkCell(cell, fader.step, `/fader/cells/${index}`, `${name}, cell ${index + 1}`));
  }
  return problems;
}
