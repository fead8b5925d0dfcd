/** The joins that lead into a section's placements and do not flow, each leading to its place. */
import type { JoinFacts } from "../../schemas/facts.ts";
import { Help } from "../parts/Help.tsx";
import { hoursText, tidy } from "../parts/music.ts";
import { shown } from "../state/shown.ts";
import { chooseOnly } from "./chosen.ts";
import { keyOfAddress, lyingIn } from "./lying.ts";
import { reveal } from "./reveal.ts";
import { nameOf } from "./settle.ts";

export function Joins(props: { section: string }) {
  const state = shown.value;
  const joins = state?.sectionFacts.get(props.section)?.joins ?? [];
  if (state === null || joins.length === 0) return null;
  const flowing = joins.filter(({ verdict }) => verdict === "flows").length;
  const others = joins.filter(({ verdict }) => verdict !== "flows");
  return (
    <div class="joins">
      <span class="quiet">
        <Help term="join">Joins</Help>:{" "}
        {others.length === 0
          ? joins.length === 1
            ? "the one here flows"
            : `all ${joins.length} flow`
          : `${flowing === 0 ? "none" : flowing} of ${joins.length} ${flowing === 1 ? "flows" : "flow"}; the rest:`}
      </span>
      {others.map((join) => (
        <div key={`${join.from.section} ${join.from.placement} ${join.to.placement}`}>
          <button
            type="button"
            class={`plain words ${join.verdict === "reset" ? "" : "trouble"}`}
            onClick={() => goToPlacement(join.to.section, join.to.placement)}
          >
            {joinText(
              join,
              nameOf(state, { section: join.from.section, index: join.from.placement }),
              nameOf(state, { section: join.to.section, index: join.to.placement }),
            )}
          </button>
        </div>
      ))}
    </div>
  );
}

/** Chooses a placement and brings it into sight. */
export function goToPlacement(section: string, index: number): void {
  const state = shown.value;
  if (state === null) return;
  chooseOnly({ section, index });
  const one = lyingIn(state).get(keyOfAddress({ section, index }));
  const start =
    state.performance.sections[state.routine.sections.findIndex(({ id }) => id === section)]?.start;
  reveal(section, one === undefined || start === undefined ? 0 : Math.max(0, one.from - start));
}

export function joinText(join: JoinFacts, from: string, to: string): string {
  const way = join.sampleChanges
    ? "another sample"
    : `${hoursText(join.moveDegrees ?? 0)}${join.speed === null ? "" : ` at ${tidy(join.speed)} times platter speed`}`;
  const open = join.faderOpen ? ", the fader open across it" : "";
  return `${from} to ${to}: ${way} in ${tidy(join.seconds, 2)} s${open}: ${join.verdict}.`;
}
