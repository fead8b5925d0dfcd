/** The tracks of a small bar row: no names over it, no beat under it. */
import type { RowMetrics } from "../rows/metrics.ts";

export const SMALL: RowMetrics = { label: 0, groups: 6, record: 20, gap: 3, fader: 8, beat: 0, below: 4 };
