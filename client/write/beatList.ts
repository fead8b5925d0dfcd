/** Beats begun, copied, named, removed. */
import type { Beat, Hit, Section } from "../../schemas/routine.ts";
import { askWhether } from "../state/question.ts";
import { counted } from "../parts/music.ts";
import { beforeWhich } from "../parts/order.ts";
import { onNewId } from "../state/newIds.ts";
import { goTo, placeBecomes } from "../state/place.ts";
import { change } from "../state/change.ts";
import { opened } from "../state/shown.ts";
import { routineAhead, taken } from "../state/turn.ts";
import { freshId } from "../parts/ids.ts";

/** @param into sections that get it as their beat, in the same undo step */
export function addBeat(beat: Omit<Beat, "id">, into: readonly Section[] = []): void {
  const id = freshId(beat.name ?? "", taken("beat"), "beat");
  const adding = { kind: "add-beat", beat: { ...beat, id } as Beat } as const;
  const words = `Take the beat ${beat.name ?? id}`;
  const [first] = into;
  if (first === undefined) change(adding, words);
  else
    change(
      {
        kind: "batch",
        words:
          `Took the beat ${beat.name ?? id} for ${into.length === 1 ? (first.name ?? first.id) : counted(into.length, "section")}`.slice(
            0,
            200,
          ),
        edits: [
          adding,
          ...into.map((one) => ({
            kind: "change-section" as const,
            id: one.id,
            set: { beat: id, beatContinues: null },
          })),
        ],
      },
      words,
    );
  goTo("write", `beat ${id}`);
}

/** @param hits of the beat to begin with; none where a recording is to be put under it */
export function newBeat(
  hits: readonly Hit[] = [
    { key: 36, at: [0, 8] },
    { key: 38, at: [4, 12] },
  ],
): void {
  const number = (routineAhead()?.beats.length ?? 0) + 1;
  addBeat({
    name: `Beat ${number}`,
    step: "1/16",
    steps: 16,
    hits,
  });
}
export function copyBeat(beat: Beat): void {
  const { id: _, ...rest } = beat;
  addBeat({ ...rest, name: `${beat.name ?? beat.id} again` });
}
export const renameBeat = (beat: Beat, name: string): void => {
  const wanted = name.trim();
  if (wanted === (beat.name ?? "")) return;
  change(
    { kind: "change-beat", id: beat.id, set: { name: wanted === "" ? null : wanted } },
    "Rename the beat",
  );
};

export function giveBeatId(beat: Beat, to: string): void {
  change({ kind: "change-id", of: "beat", id: beat.id, to }, `Give ${beat.name ?? beat.id} the id ${to}`);
}
onNewId("beats", (from, to) => placeBecomes("write", `beat ${from}`, `beat ${to}`));
/** One place up or down in the list. */
export function moveBeat(beat: Beat, by: 1 | -1): void {
  const before = beforeWhich(opened.value?.routine.beats ?? [], beat.id, by);
  if (before === undefined) return;
  change({ kind: "move-beat", id: beat.id, before }, `Move ${beat.name ?? beat.id} in the list`);
}

/** Asks first where it plays. */
export function removeBeat(beat: Beat): void {
  const sections = (opened.value?.routine.sections ?? []).filter((one) => one.beat === beat.id);
  const name = beat.name ?? beat.id;
  const remove = { kind: "remove-beat", id: beat.id, fromSections: true } as const;
  const more = sections.length - 1;
  if (sections.length > 0)
    askWhether(
      `${name} plays in ${sections[0]!.name ?? sections[0]!.id}${more === 0 ? "" : ` and ${counted(more, "more section")}`}. Without it they have no beat. Undo brings it back.`,
      { label: `Remove ${name} everywhere`, edit: remove, words: `Remove ${name}` },
      { label: "Keep it", edit: null, words: "" },
    );
  else {
    change(remove, `Remove ${name}`);
    goTo("write");
  }
}
