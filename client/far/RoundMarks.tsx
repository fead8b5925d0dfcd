/** Under a bar of the view from afar, while one rests: what became of each opening in the round that is over. */
import { counted } from "../parts/music.ts";
import { markShape } from "../recordings/marks.ts";
import { becameOf } from "../recordings/summary.ts";
import { beatTop, GUTTER, type RowMetrics, rowHeight } from "../rows/metrics.ts";
import type { FarRow } from "./farRows.ts";
import { tappedRounds } from "../rehearse/tapping.ts";

/** Marks for reading from afar are larger than their room, which is empty around it. */
const LARGE = 1.8;

interface Props {
  readonly part: string;
  readonly one: FarRow;
  /** Units in a bar. */
  readonly bar: number;
  readonly width: number;
  readonly metrics: RowMetrics;
}

export function RoundMarks({ part, one, bar, width, metrics }: Props) {
  const round = tappedRounds.value.at(-1);
  if (round === undefined || round.part !== part) return null;
  const met = round.met.filter(
    ({ section, at }) => section === one.section && at >= one.row.start && at < one.row.start + bar,
  );
  if (met.length === 0) return null;
  const top = beatTop(metrics, 1);
  const height = rowHeight(metrics, 1) - top;
  const fine = met.filter((opening) => becameOf(opening) === "fine").length;
  const missed = met.filter((opening) => becameOf(opening) === "missed").length;
  const words = `Bar ${one.row.number}: of ${counted(met.length, "opening")} ${fine} in time, ${missed} missed.`;
  return (
    <svg
      role="img"
      aria-label={words}
      class="marks round-marks"
      width={width}
      height={height}
      style={{ left: `${GUTTER}px`, top: `${top}px` }}
    >
      {met.map((opening) => (
        <path
          key={opening.at}
          class={becameOf(opening)}
          d={markShape(((opening.at - one.row.start) / bar) * width, height / 2, LARGE * height, opening)}
        />
      ))}
    </svg>
  );
}
