/** The two rows of the view from afar: the bar that is played, and the one that comes next. */
import type { Performance } from "../../schemas/performance.ts";
import { contentOf, type Row } from "../rows/content.ts";
import type { RowMetrics } from "../rows/metrics.ts";
import { barOf } from "../rehearse/drills.ts";
import type { LoopRange } from "../../schemas/soundWire.ts";

export interface FarRow {
  readonly section: number;
  readonly row: Row;
}

/** Rows of one player only: who reads from afar plays one pair of hands. */
export function rowOf(performance: Performance, section: number, at: number): FarRow | null {
  const timed = performance.sections[section];
  if (timed === undefined) return null;
  const content = contentOf(performance, section);
  const row = content.rows[barOf(at, content.bar) + content.leadIn];
  return row === undefined ? null : { section, row: ofOnePlayer(row, content.players[0] ?? 1) };
}

const kept = new WeakMap<Row, Row>();
function ofOnePlayer(row: Row, player: number): Row {
  const known = kept.get(row);
  if (known !== undefined) return known;
  const placed = row.placed.filter((one) => one.player === player);
  const mine = (one: { owner: number; placement: number }): boolean =>
    placed.some((other) => other.owner === one.owner && other.placement === one.placement);
  const own: Row = {
    ...row,
    placed,
    strokes: row.strokes.filter(mine),
    openings: row.openings.filter(mine),
    sounds: row.sounds.filter(mine),
    recordGroups: row.recordGroups.filter((group) => group.player === player),
    faderGroups: row.faderGroups.filter((group) => group.player === player),
  };
  kept.set(row, own);
  return own;
}

/** The row after the one at a place: in a drill the first of its range again where that ends. */
export function rowAfter(
  performance: Performance,
  section: number,
  at: number,
  range: LoopRange | null,
): FarRow | null {
  const timed = performance.sections[section];
  if (timed === undefined) return null;
  const { bar, length } = timed.performance;
  const next = (barOf(at, bar) + 1) * bar;
  const indexOf = (id: string): number => performance.sections.findIndex((one) => one.performance.id === id);
  if (range !== null) {
    const last = indexOf(range.to.section);
    if (section > last || (section === last && next >= range.to.at))
      return rowOf(performance, indexOf(range.from.section), range.from.at);
  }
  return next < length ? rowOf(performance, section, next) : rowOf(performance, section + 1, 0);
}

/** Tracks of a row that is to be so many pixels high, its name's line being `label` high. */
export function farMetrics(height: number, label: number): RowMetrics {
  const below = 12;
  const rest = Math.max(50, height - label - below);
  const part = (share: number): number => Math.round(rest * share);
  return {
    label,
    groups: part(0.07),
    record: part(0.44),
    gap: part(0.05),
    fader: part(0.2),
    beat: part(0.15),
    below,
  };
}
