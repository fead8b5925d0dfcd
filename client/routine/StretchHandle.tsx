/** The end of the chosen placement, to be dragged: drawn over the rows of the section in whose time it ends. */
import { contentOf } from "../rows/content.ts";
import { GUTTER, ROW, rowHeight, tracksOf } from "../rows/metrics.ts";
import { shown } from "../state/store.ts";
import { shownPlacement } from "./chosen.ts";

export function StretchHandle(props: { section: string; index: number; width: number }) {
  const state = shown.value;
  const one = shownPlacement.value;
  if (state === null || one === null || one.span === null) return null;
  const own = state.performance.sections[props.index];
  const owner = state.routine.sections.findIndex(({ id }) => id === one.section);
  const other = state.performance.sections[owner];
  if (own === undefined || other === undefined) return null;
  const end = one.span.end + other.start - own.start;
  const content = contentOf(state.performance, props.index);
  const row = Math.ceil(end / content.bar) - 1 + content.leadIn;
  if (row < 0 || row >= content.rows.length) return null;
  const x = ((end - (row - content.leadIn) * content.bar) / content.bar) * props.width;
  const lane = Math.max(0, content.players.indexOf(one.placement.player ?? 1));
  const top = row * rowHeight(ROW, content.players.length) + tracksOf(ROW, lane).label;
  return (
    <div
      class="stretch"
      data-stretch={`${owner}/${one.index}`}
      title="Drag to stretch; Shift with the arrow keys does the same"
      style={{
        left: `${GUTTER + x - 22}px`,
        top: `${top}px`,
        height: `${ROW.label + ROW.record + ROW.groups}px`,
      }}
    />
  );
}
