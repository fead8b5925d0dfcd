/** One bar as a row: a dozen paths, the bar's number, and the placements' names over them. */
import { memo } from "../parts/memo.ts";
import type { Row } from "./content.ts";
import { rowPaths } from "./drawing.ts";
import { linePath, xOf } from "./geometry.ts";
import { beatTop, GUTTER, ROW, type RowMetrics, rowHeight, tracksOf } from "./metrics.ts";
import { STRIPES } from "./Stripes.tsx";
import { rowText, whose } from "./words.ts";

/** How a placement is marked on the page. */
export type Mark = "plain" | "in-trouble" | "in-doubt";

export interface RowProps {
  readonly row: Row;
  readonly bar: number;
  readonly width: number;
  readonly players: readonly number[];
  readonly metrics: RowMetrics;
  /** Units of the grid's lines: the metre's beats, and the step. */
  readonly beat: number;
  readonly step: number;
  readonly speedPerDegreeUnit: number;
  readonly meter: string;
  /** Its text equivalent; made of the row where left out. */
  readonly text?: string;
  readonly beatRests: boolean;
  /** The beats are numbered under the row. */
  readonly counts: boolean;
  /** Which hand it is, said beside its track. */
  readonly recordHand?: string | undefined;
  readonly faderHand?: string | undefined;
  /** Another text when a name, mark or choice is another: the functions that tell them stay the same. */
  readonly looks: string;
  /** What a placement is called. */
  readonly name: (owner: number, placement: number) => string;
  readonly mark: (owner: number, placement: number) => Mark;
  readonly chosen: (owner: number, placement: number) => boolean;
  readonly onNumber?: ((number: number) => void) | undefined;
  /** With it, names are buttons. */
  readonly onPlaced?: ((owner: number, placement: number, event: MouseEvent) => void) | undefined;
}

export const BarRow = memo((props: RowProps) => {
  const { row, bar, width, metrics, players } = props;
  const frame = { start: row.start, bar, width };
  const paths = rowPaths(row, frame, players, metrics, props.speedPerDegreeUnit);
  const height = rowHeight(metrics, players.length);
  const drawn = height - metrics.below;
  // Through the picture of what is heard, where there is one.
  const gridEnd = height - Math.min(metrics.below, ROW.below);
  const label = row.number >= 1 ? `${row.number}` : "in";
  return (
    <div class="row" style={{ height: `${height}px`, containIntrinsicSize: `auto ${height}px` }}>
      <button
        type="button"
        class="number"
        style={{ top: `${props.recordHand === undefined ? metrics.label : 0}px` }}
        disabled={props.onNumber === undefined}
        aria-label={row.number >= 1 ? `Play from bar ${row.number}` : "Play from the lead-in"}
        onClick={() => props.onNumber?.(row.number)}
      >
        {label}
      </button>
      {props.recordHand !== undefined && (
        <span class="hand-word" style={{ top: `${tracksOf(metrics, 0).record + metrics.record / 2}px` }}>
          {props.recordHand}
        </span>
      )}
      {props.faderHand !== undefined && (
        <span class="hand-word" style={{ top: `${tracksOf(metrics, 0).fader + metrics.fader / 2}px` }}>
          {props.faderHand}
        </span>
      )}
      <svg
        role="img"
        aria-label={props.text ?? rowText(row, props.meter, props.name, players)}
        width={width}
        height={drawn}
        style={{ left: `${GUTTER}px`, top: "0" }}
      >
        <path class="tone" d={paths.recordTone + paths.faderTone} />
        <path class="steps" d={grid(frame, props.step, metrics.label, gridEnd)} />
        <path class="beats" d={grid(frame, props.beat, metrics.label, gridEnd)} />
        <path class="words" d={paths.words} />
        <path class="starts" d={paths.recordStarts + paths.faderStarts} />
        <path class="brackets" d={paths.recordBrackets + paths.faderBrackets} />
        <path class="holds" d={paths.holds} />
        <path class="silent forward" d={paths.forwardSilent} />
        <path class="silent back" d={paths.backSilent} />
        <path class="forward" d={paths.forwardHeard} />
        <path class="back" d={paths.backHeard} />
        <path fill={STRIPES} d={paths.backHeard} />
        <path class="cuts" d={paths.cuts} />
        <path class="fader-line" d={paths.faderLine} />
        <path class="openings" d={paths.openings} />
        <path class="hits" d={paths.low + paths.high + paths.light} />
        <path class="beat-starts" d={paths.beatStarts} />
        {props.counts &&
          Array.from({ length: Math.floor(bar / props.beat + 1e-9) }, (_, index) => (
            <text
              key={index}
              class="count"
              x={xOf({ ...frame, start: 0 }, index * props.beat) + 2}
              y={drawn + 9}
            >
              {index + 1}
            </text>
          ))}
        {props.beatRests && (
          <text class="rest" x={4} y={beatTop(metrics, players.length) + metrics.beat - 3}>
            the beat rests
          </text>
        )}
      </svg>
      {row.placed.map((placed) => (
        <Placed key={`${placed.owner}/${placed.placement}`} placed={placed} {...props} />
      ))}
    </div>
  );
});

function Placed(props: RowProps & { placed: Row["placed"][number] }) {
  const { placed, row, bar, width, metrics, players } = props;
  const frame = { start: row.start, bar, width };
  const starts = placed.start >= row.start;
  const from = Math.max(0, xOf(frame, placed.start));
  const to = Math.min(width, xOf(frame, placed.end));
  const chosen = props.chosen(placed.owner, placed.placement);
  const called = placed.words === null ? props.name(placed.owner, placed.placement) : `“${placed.words}”`;
  const name = `${whose(placed.player, players)}${called}`;
  const style = {
    left: `${GUTTER + from}px`,
    top: `${tracksOf(metrics, players.indexOf(placed.player)).label}px`,
    width: `${Math.max(24, to - from)}px`,
    height: `${metrics.label}px`,
  };
  const mark = props.mark(placed.owner, placed.placement);
  const classes = `placed ${mark} ${chosen ? "chosen" : ""}`;
  const { onPlaced } = props;
  if (!starts || onPlaced === undefined) {
    return (
      <span class={`${classes} ${starts ? "" : "goes-on"}`} aria-hidden="true" style={style}>
        {starts ? name : `… ${name}`}
      </span>
    );
  }
  return (
    <button
      type="button"
      class={classes}
      style={style}
      aria-pressed={chosen}
      data-placed={`${placed.owner}/${placed.placement}`}
      onClick={(event) => onPlaced(placed.owner, placed.placement, event)}
    >
      {name}
      {mark === "in-trouble" && <span class="unseen">, has a problem</span>}
      {mark === "in-doubt" && <span class="unseen">, has a warning</span>}
    </button>
  );
}

/** Upright lines at every multiple of `every`, the row's start and end included. */
function grid(
  frame: { readonly start: number; readonly bar: number; readonly width: number },
  every: number,
  top: number,
  bottom: number,
): string {
  const count = Math.floor(frame.bar / every + 1e-9);
  if (count > 256) return "";
  const lines = Array.from({ length: count + 1 }, (_, index) => {
    const x = Math.round(xOf(frame, frame.start + index * every)) + 0.5;
    return linePath(x, top, x, bottom);
  });
  return lines.join("");
}
