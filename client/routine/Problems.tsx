/** Problems and warnings: listed, each leading to its place, and marked there. */
import type { Problem } from "../../schemas/problem.ts";
import type { Mark } from "../rows/BarRow.tsx";
import { counted } from "../parts/music.ts";
import { shown } from "../state/store.ts";
import { chosen } from "./chosen.ts";

/** Section and placement that a JSON Pointer leads to. */
export function placeOf(pointer: string): { section: number; placement: number | null } | null {
  const match = /^\/sections\/(\d+)(?:\/placements\/(\d+))?/.exec(pointer);
  return match === null
    ? null
    : { section: Number(match[1]), placement: match[2] === undefined ? null : Number(match[2]) };
}

export function markOf(problems: readonly Problem[], owner: number, placement: number): Mark {
  const start = `/sections/${owner}/placements/${placement}`;
  let mark: Mark = "plain";
  for (const { place, severity } of problems) {
    if (place !== start && !place.startsWith(`${start}/`)) continue;
    if (severity === "error") return "in-trouble";
    mark = "in-doubt";
  }
  return mark;
}

function go(problem: Problem): void {
  const routine = shown.value?.routine;
  const place = placeOf(problem.place);
  const section = place === null ? undefined : routine?.sections[place.section];
  if (place === null || section === undefined) return;
  if (place.placement !== null) chosen.value = { section: section.id, index: place.placement };
  document.getElementById(`section-${section.id}`)?.scrollIntoView({ block: "start" });
}

export function ProblemList() {
  const problems = shown.value?.problems ?? [];
  const errors = problems.filter(({ severity }) => severity === "error");
  const warnings = problems.filter(({ severity }) => severity === "warning");
  if (problems.length === 0) return <p class="good">No problem in this routine.</p>;
  const title = [
    errors.length > 0 ? counted(errors.length, "problem") : "",
    warnings.length > 0 ? counted(warnings.length, "warning") : "",
  ]
    .filter((text) => text !== "")
    .join(", ");
  return (
    <details class="problems" open={errors.length > 0}>
      <summary class={errors.length > 0 ? "trouble" : "warn"}>{title}</summary>
      <ul>
        {[...errors, ...warnings].slice(0, 200).map((problem) => (
          <li key={`${problem.code} ${problem.place} ${problem.message}`}>
            <button
              type="button"
              class={`plain ${problem.severity === "error" ? "trouble" : ""}`}
              onClick={() => go(problem)}
            >
              {problem.message}
            </button>
          </li>
        ))}
      </ul>
    </details>
  );
}
