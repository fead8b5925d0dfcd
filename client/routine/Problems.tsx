/** Problems and warnings: listed, each leading to its place, and marked there. */
import { computed, signal } from "@preact/signals";
import type { Problem } from "../../schemas/problem.ts";
import type { Mark } from "../rows/BarRow.tsx";
import { counted } from "../parts/music.ts";
import { setUpOpen } from "../setup/SetUp.tsx";
import { goTo, SAMPLES } from "../state/place.ts";
import { said } from "../state/said.ts";
import { shown } from "../state/shown.ts";
import { goToPlacement } from "./Joins.tsx";
import { reveal } from "./reveal.ts";
import { formsOpen } from "./sections.ts";

/** What a JSON Pointer into the routine leads to. */
export function placeOf(
  pointer: string,
): { list: "sections" | "patterns" | "beats"; index: number; placement: number | null } | null {
  const match = /^\/(sections|patterns|beats)\/(\d+)(?:\/placements\/(\d+))?/.exec(pointer);
  return match === null
    ? null
    : {
        list: match[1] as "sections",
        index: Number(match[2]),
        placement: match[3] === undefined ? null : Number(match[3]),
      };
}

/** By section and placement: looked up once for all rows. */
const marks = computed(() => {
  const found = new Map<string, Mark>();
  for (const { place, severity } of shown.value?.problems ?? []) {
    const to = placeOf(place);
    if (to?.list !== "sections" || to.placement === null) continue;
    const key = `${to.index}/${to.placement}`;
    if (severity === "error") found.set(key, "in-trouble");
    else if (!found.has(key)) found.set(key, "in-doubt");
  }
  return found;
});
export const markOf = (owner: number, placement: number): Mark =>
  marks.value.get(`${owner}/${placement}`) ?? "plain";

/** The errors of one placement, in sentences. */
export const troublesOf = (section: string, placement: number): readonly string[] => {
  const owner = shown.value?.routine.sections.findIndex(({ id }) => id === section) ?? -1;
  return (shown.value?.problems ?? []).flatMap(({ place, severity, message }) => {
    const to = placeOf(place);
    const here = to?.list === "sections" && to.index === owner && to.placement === placement;
    return here && severity === "error" ? [message] : [];
  });
};

function goToProblem({ place }: Problem): void {
  const routine = shown.value?.routine;
  const to = placeOf(place);
  if (routine === undefined) return;
  if (to === null) {
    elsewhere(place);
    return;
  }
  const section = to.list === "sections" ? routine.sections[to.index] : undefined;
  if (to.list === "patterns") goTo("write", routine.patterns[to.index]?.id ?? "");
  else if (to.list === "beats") goTo("write", `beat ${routine.beats[to.index]?.id ?? ""}`);
  else if (section !== undefined && to.placement !== null) goToPlacement(section.id, to.placement);
  else if (section !== undefined) showSection(section.id);
}

/** What concerns no section, phrase or beat has a place of its own. */
function elsewhere(pointer: string): void {
  if (pointer.startsWith("/rig/samples")) goTo("write", SAMPLES);
  else if (pointer.startsWith("/rig")) setUpOpen.value = true;
  else if (pointer.startsWith("/mappings")) goTo("export");
  else focusOnTop(pointer === "/timeLimit" ? "Time limit" : "Title");
}

/** To a field of the routine itself. */
export function focusOnTop(label: "Time limit" | "Title"): void {
  scrollTo({ top: 0, behavior: "instant" });
  document.querySelector<HTMLElement>(`.routine .top input[aria-label^="${label}"]`)?.focus();
}

let last = -1;
/** Through all of them, errors first, and round again. */
export function goToNextProblem(): void {
  const problems = shown.value?.problems ?? [];
  const ordered = [...problems].sort(
    (a, b) => Number(b.severity === "error") - Number(a.severity === "error"),
  );
  const next = ordered[(last + 1) % Math.max(1, ordered.length)];
  last = next === undefined ? -1 : ordered.indexOf(next);
  said.value = next?.message ?? "There is no problem in this routine.";
  if (next !== undefined) goToProblem(next);
}

function showSection(id: string): void {
  formsOpen.value = new Set([...formsOpen.value, id]);
  document.getElementById(`section-${id}`)?.scrollIntoView({ block: "start" });
  reveal(id);
}

/** So many stand there before one asks for all; and so many are drawn at once. */
const [FEW, SOME] = [5, 200];
const all = signal(false);

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
  const some = [...errors, ...warnings].slice(0, all.value ? SOME : FEW);
  return (
    <details class="problems" open={errors.length > 0}>
      <summary class={errors.length > 0 ? "trouble" : "warn"}>{title}</summary>
      <ul>
        {some.map((problem) => (
          <li key={`${problem.code} ${problem.place} ${problem.message}`}>
            <button
              type="button"
              class={`plain words ${problem.severity === "error" ? "trouble" : ""}`}
              onClick={() => goToProblem(problem)}
            >
              {problem.message}
            </button>
          </li>
        ))}
        {problems.length > FEW && (
          <li>
            <button
              type="button"
              aria-expanded={all.value}
              onClick={() => {
                all.value = !all.value;
              }}
            >
              {all.value ? "Show the first few" : `Show all ${problems.length}`}
            </button>
          </li>
        )}
        {all.value && problems.length > SOME && (
          <li class="quiet">And {problems.length - SOME} more, which show as these are mended.</li>
        )}
      </ul>
    </details>
  );
}
