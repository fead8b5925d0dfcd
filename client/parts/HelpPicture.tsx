/** The picture of a term: a bar or a few, drawn by the rows. */
import { BarRow } from "../rows/BarRow.tsx";
import type { RowMetrics } from "../rows/metrics.ts";
import { GUTTER, rowHeight } from "../rows/metrics.ts";
import type { Sketch } from "./helpPictures.ts";
import { unitsOfText } from "./music.ts";
import { barOf, playersOf, QUARTER, rowsOf } from "./sketchRows.ts";

const METRICS: RowMetrics = { label: 2, groups: 7, record: 24, gap: 4, fader: 9, beat: 0, below: 3 };
const WIDTH = 300;
/** At 90 quarters a minute on a platter of 200 degrees a second. */
const SPEED = QUARTER / (60 / 90) / 200;

export function HelpPicture(props: { sketch: Sketch }) {
  const { sketch } = props;
  const players = playersOf(sketch);
  const metrics = { ...METRICS, beat: sketch.beat === undefined ? 0 : 12 };
  return (
    <span class="help-picture" role="img" aria-label={sketch.says}>
      <span aria-hidden="true" style={{ marginLeft: `-${GUTTER}px` }}>
        {rowsOf(sketch).map((row) => (
          <BarRow
            key={row.number}
            row={row}
            bar={barOf(sketch)}
            width={WIDTH}
            players={players}
            metrics={metrics}
            beat={QUARTER}
            step={unitsOfText("1/16")}
            speedPerDegreeUnit={SPEED}
            meter="4/4"
            text=""
            looks=""
            counts={false}
            beatRests={sketch.rests?.includes(row.number) ?? false}
            name={() => ""}
            mark={() => "plain"}
            chosen={() => false}
          />
        ))}
      </span>
      {sketch.line !== undefined && (
        <span
          class="help-line"
          style={{
            left: `${((sketch.line % sketch.bar) / sketch.bar) * WIDTH}px`,
            top: `${Math.floor(sketch.line / sketch.bar) * rowHeight(metrics, players.length)}px`,
            height: `${rowHeight(metrics, players.length)}px`,
          }}
        />
      )}
      <span class="quiet small">{sketch.says}</span>
    </span>
  );
}
