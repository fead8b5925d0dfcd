/** Between two placements, in the rows: the verdict on their join in words; pressed, what it is and what would mend it. */
import { signal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import type { JoinFacts } from "../../schemas/facts.ts";
import { useElsewhere } from "../parts/elsewhere.ts";
import { contentOf } from "../rows/content.ts";
import { rowMetrics } from "../rows/heard.ts";
import { GUTTER, rowHeight, tracksOf } from "../rows/metrics.ts";
import type { Opened } from "../state/opened.ts";
import { shown } from "../state/shown.ts";
import { keyOfAddress, type Lying, lyingIn } from "./lying.ts";
import { Mends } from "./Mends.tsx";
import { pixelsOf } from "./Overlay.tsx";
import { nameOf } from "./settle.ts";

/** Address of the placement whose join is open; null: none. */
export const openJoin = signal<string | null>(null);

interface Mark {
  readonly join: JoinFacts;
  readonly to: Lying;
  readonly left: number;
  readonly top: number;
  readonly row: number;
}

type MarksByRow = ReadonlyMap<number, readonly Mark[]>;
const known = new WeakMap<Opened, Map<string, MarksByRow>>();

/** Found once for all rows of a section that come into sight. */
function marksIn(state: Opened, index: number, width: number): MarksByRow {
  const found = known.get(state) ?? new Map<string, MarksByRow>();
  known.set(state, found);
  const key = `${index} ${width} ${rowHeight(rowMetrics.value, 1)}`;
  const before = found.get(key);
  if (before !== undefined) return before;
  const rows = new Map<number, Mark[]>();
  for (const mark of marksOf(state, index, width)) rows.set(mark.row, [...(rows.get(mark.row) ?? []), mark]);
  found.set(key, rows);
  return rows;
}

/** A join stands where the second placement starts, at the end of the row before where that is a bar line. */
function marksOf(state: Opened, index: number, width: number): readonly Mark[] {
  const own = state.performance.sections[index];
  if (own === undefined) return [];
  const content = contentOf(state.performance, index);
  const height = rowHeight(rowMetrics.value, content.players.length);
  // What starts on the first beat of the next section is reached in the last bar of this one.
  return [index, index + 1].flatMap((owner) => {
    const id = state.routine.sections[owner]?.id ?? "";
    return (state.sectionFacts.get(id)?.joins ?? []).flatMap((join): Mark[] => {
      const to = lyingIn(state).get(keyOfAddress({ section: id, index: join.to.placement }));
      const place = to === undefined ? null : pixelsOf(content, to.from - own.start, width, true);
      if (to === undefined || place === null) return [];
      const lane = Math.max(0, content.players.indexOf(to.player));
      const top = place.top + tracksOf(rowMetrics.value, lane).label;
      return [{ join, to, left: GUTTER + place.x, top, row: Math.round(place.top / height) }];
    });
  });
}

/** Those of so many rows of a section. */
export function JoinMarks(props: { index: number; width: number; first: number; count: number }) {
  const state = shown.value;
  const { index, width, first, count } = props;
  if (state === null) return null;
  const rows = marksIn(state, index, width);
  const marks = Array.from({ length: count }, (_, row) => rows.get(first + row) ?? []).flat();
  return (
    <>
      {marks.map((mark) => (
        <JoinMark key={keyOfAddress(mark.to)} mark={mark} state={state} half={width / 2} />
      ))}
    </>
  );
}

function JoinMark(props: { mark: Mark; state: Opened; half: number }) {
  const { mark, state, half } = props;
  const { join, to, left, top } = mark;
  const ref = useRef<HTMLDivElement>(null);
  const key = keyOfAddress(to);
  const open = openJoin.value === key;
  const shut = (): void => {
    if (openJoin.peek() === key) openJoin.value = null;
  };
  useElsewhere(ref, open, shut);
  useEffect(() => {
    if (open) ref.current?.querySelector("button")?.focus({ preventScroll: true });
  }, [open]);
  const from = nameOf(state, { section: join.from.section, index: join.from.placement });
  return (
    <div
      ref={ref}
      class={`join-mark ${join.verdict === "flows" ? "flows" : ""} ${open ? "open" : ""}`}
      style={{ left: `${left}px`, top: `${top}px` }}
      // What is pressed here is no place in the music.
      onPointerDown={(event) => event.stopPropagation()}
    >
      <button
        type="button"
        class={join.verdict === "beyond your limits" ? "trouble" : ""}
        aria-expanded={open}
        aria-label={`Join, ${from} to ${nameOf(state, to)}: ${join.verdict}`}
        onClick={() => {
          openJoin.value = open ? null : key;
        }}
      >
        {join.verdict}
      </button>
      {open && (
        <div class={`join-text ${left - GUTTER > half ? "" : "to-right"}`}>
          <Mends one={to} atOnce />
        </div>
      )}
    </div>
  );
}
