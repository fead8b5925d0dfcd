/** The picture of a term: a bar or a few, drawn by the rows. */
import { BarRow } from "../rows/BarRow.tsx";
import type { RowMetrics } from "../rows/metrics.ts";
import { GUTTER } from "../rows/metrics.ts";
import { barOf, QUARTER, rowsOf, type Sketch } from "./helpPictures.ts";
import { unitsOfText } from "./music.ts";

const METRICS: RowMetrics = { label: 2, groups: 7, record: 24, gap: 4, fader: 9, beat: 0, below: 3 };
const WIDTH = 300;
/** At 90 quarters a minute on a platter of 200 degrees a second. */
const SPEED = QUARTER / (60 / 90) / 200;

export function HelpPicture(props: { sketch: Sketch }) {
  const { sketch } = props;
  return (
    <span class="help-picture" role="img" aria-label={sketch.says}>
      <span aria-hidden="true" style={{ marginLeft: `-${GUTTER}px` }}>
        {rowsOf(sketch).map((row) => (
          <BarRow
            key={row.number}
            row={row}
            bar={barOf(sketch)}
            width={WIDTH}
            players={[1]}
            metrics={METRICS}
            beat={QUARTER}
            step={unitsOfText("1/16")}
            speedPerDegreeUnit={SPEED}
            meter="4/4"
            text=""
            looks=""
            counts={false}
            beatRests={false}
            name={() => ""}
            mark={() => "plain"}
            chosen={() => false}
          />
        ))}
      </span>
      <span class="quiet small">{sketch.says}</span>
    </span>
  );
}
