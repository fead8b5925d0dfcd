/** The tracks of a bar row, top to bottom, in CSS pixels. Everything that draws or hits a row reads them here. */

export interface RowMetrics {
  /** The names of placements: as high as a target for a finger has to be. */
  readonly label: number;
  /** Brackets of a hand's groups. */
  readonly groups: number;
  readonly record: number;
  readonly gap: number;
  readonly fader: number;
  readonly beat: number;
  /** Empty space under the row. */
  readonly below: number;
}

export const ROW: RowMetrics = { label: 24, groups: 9, record: 30, gap: 5, fader: 11, beat: 14, below: 12 };
/** Left of every row: the bar's number, which is a button. */
export const GUTTER = 44;

export const scaled = (metrics: RowMetrics, by: number): RowMetrics => ({
  label: Math.max(24, Math.round(metrics.label * by)),
  groups: Math.round(metrics.groups * by),
  record: Math.round(metrics.record * by),
  gap: Math.round(metrics.gap * by),
  fader: Math.round(metrics.fader * by),
  beat: Math.round(metrics.beat * by),
  below: Math.round(metrics.below * by),
});

/** What one player's pair of hands takes. */
export const handsHeight = (m: RowMetrics): number =>
  m.label + m.groups + m.record + m.gap + m.fader + m.groups;
export const rowHeight = (m: RowMetrics, players: number): number =>
  players * handsHeight(m) + m.beat + m.below;

/** Tops of the tracks of the player that is drawn at `lane` (from 0). */
export function tracksOf(m: RowMetrics, lane: number) {
  const label = lane * handsHeight(m);
  const recordGroups = label + m.label;
  const record = recordGroups + m.groups;
  const fader = record + m.record + m.gap;
  const faderGroups = fader + m.fader;
  return { label, recordGroups, record, fader, faderGroups };
}
export const beatTop = (m: RowMetrics, players: number): number => players * handsHeight(m);
