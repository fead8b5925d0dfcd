/** What lies over the rows of a section: the end of the one that is chosen, to be dragged; and the spot. */
import type { SectionContent } from "../rows/content.ts";
import { contentOf } from "../rows/content.ts";
import { rowMetrics } from "../rows/heard.ts";
import { GUTTER, handsHeight, rowHeight, tracksOf } from "../rows/metrics.ts";
import { shown } from "../state/shown.ts";
import { chosenShown } from "./chosen.ts";
import { player, spot } from "./spot.ts";

interface Props {
  readonly section: string;
  readonly index: number;
  readonly width: number;
}

/** Pixels of a place in a section's rows; null where it is in none. An end belongs to the row before. */
export function pixelsOf(content: SectionContent, at: number, width: number, isEnd: boolean) {
  const row = (isEnd ? Math.ceil(at / content.bar) - 1 : Math.floor(at / content.bar)) + content.leadIn;
  if (row < 0 || row >= content.rows.length) return null;
  const x = ((at - (row - content.leadIn) * content.bar) / content.bar) * width;
  return { x, top: row * rowHeight(rowMetrics.value, content.players.length) };
}

export function StretchHandle({ index, width }: Props) {
  const state = shown.value;
  const one = chosenShown.value.at(-1);
  const own = state?.performance.sections[index];
  if (state === null || one === undefined || own === undefined || chosenShown.value.length !== 1) return null;
  const content = contentOf(state.performance, index);
  const place = pixelsOf(content, one.to - own.start, width, true);
  if (place === null) return null;
  const lane = Math.max(0, content.players.indexOf(one.player));
  return (
    <div
      class="stretch"
      data-stretch=""
      title="Drag to stretch; Shift with the arrow keys does the same"
      style={{
        left: `${GUTTER + place.x - 22}px`,
        top: `${place.top + tracksOf(rowMetrics.value, lane).label}px`,
        height: `${rowMetrics.value.label + rowMetrics.value.record + rowMetrics.value.groups}px`,
      }}
    />
  );
}

export function SpotMark({ section, index, width }: Props) {
  const state = shown.value;
  const here = spot.value;
  if (state === null || here?.section !== section) return null;
  const content = contentOf(state.performance, index);
  const place = pixelsOf(content, here.at, width, false);
  if (place === null) return null;
  // Over the tracks of whom it is for; one who has none yet is over them all.
  const lane = content.players.indexOf(player.value);
  const several = content.players.length > 1 && lane >= 0;
  const whole = rowHeight(rowMetrics.value, content.players.length) - rowMetrics.value.below;
  const top = place.top + (several ? tracksOf(rowMetrics.value, lane).label : 0);
  const height = several ? handsHeight(rowMetrics.value) : whole;
  return (
    <div class="spot" style={{ left: `${GUTTER + place.x}px`, top: `${top}px`, height: `${height}px` }} />
  );
}
