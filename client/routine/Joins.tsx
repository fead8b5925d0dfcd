/** The joins that lead into a section's placements and do not flow, with what would mend them. */
import { useState } from "preact/hooks";
import type { JoinFacts, Mend } from "../../schemas/facts.ts";
import { Help } from "../parts/Help.tsx";
import { hoursText, tidy } from "../parts/music.ts";
import { placementName } from "../rows/SectionRows.tsx";
import { ask, Sorry } from "../state/connection.ts";
import { change, opened, shown } from "../state/store.ts";

export function Joins(props: { section: string }) {
  const state = shown.value;
  const joins = state?.sectionFacts.get(props.section)?.joins ?? [];
  if (state === null || joins.length === 0) return null;
  const flowing = joins.filter(({ verdict }) => verdict === "flows").length;
  const others = joins.filter(({ verdict }) => verdict !== "flows");
  return (
    <div class="joins">
      <span class="quiet">
        <Help term="join">Joins</Help>: {flowing} of {joins.length} {joins.length === 1 ? "flows" : "flow"}
        {others.length > 0 && ", besides:"}
      </span>
      {others.map((join) => (
        <Join key={`${join.from.section} ${join.from.placement} ${join.to.placement}`} join={join} />
      ))}
    </div>
  );
}

export function joinText(join: JoinFacts, from: string, to: string): string {
  const way = join.sampleChanges
    ? "another sample"
    : `${hoursText(join.moveDegrees ?? 0)}${join.speed === null ? "" : ` at ${tidy(join.speed, 1)} times platter speed`}`;
  const open = join.faderOpen ? ", the fader open across it" : "";
  return `${from} to ${to}: ${way} in ${tidy(join.seconds, 2)} s${open}: ${join.verdict}.`;
}

function Join(props: { join: JoinFacts }) {
  const [mends, setMends] = useState<readonly Mend[] | string | null>(null);
  const { join } = props;
  const state = opened.value;
  if (state === null) return null;
  const name = (ref: JoinFacts["from"]): string =>
    placementName(
      state.routine,
      state.routine.sections.findIndex(({ id }) => id === ref.section),
      ref.placement,
    );
  const find = async (): Promise<void> => {
    try {
      const answer = await ask<"mends">({
        type: "mends",
        name: state.name,
        section: join.to.section,
        placement: join.to.placement,
      });
      setMends(answer.join);
    } catch (error) {
      setMends(error instanceof Sorry ? error.message : String(error));
    }
  };
  return (
    <div class={join.verdict === "reset" ? "" : "trouble"}>
      {joinText(join, name(join.from), name(join.to))}{" "}
      {join.verdict === "beyond your limits" && mends === null && (
        <button type="button" onClick={() => void find()}>
          What would mend it
        </button>
      )}
      {typeof mends === "string" && <span>{mends}</span>}
      {Array.isArray(mends) && mends.length === 0 && <span>Nothing small mends it.</span>}
      {Array.isArray(mends) &&
        (mends as Mend[]).map((mend) => (
          <button
            key={mend.words}
            type="button"
            onClick={() => {
              setMends(null);
              change(mend.edit, mend.words);
            }}
          >
            {mend.words}
          </button>
        ))}
    </div>
  );
}
