/** Where the record is in the sample, degrees against time: a chart apart from the rows, not edited and not printed. */
import { scaleLinear } from "d3-scale";
import type { SectionPerformance } from "../../schemas/performance.ts";
import { tidy } from "../parts/music.ts";

const LEFT = 64;
const HEIGHT = 150;
const BELOW = 24;

/** @param until units; @param repeatsEvery degrees, 0: the sample does not repeat */
export function PositionChart(props: {
  performance: SectionPerformance;
  until: number;
  bar: number;
  repeatsEvery: number;
  width: number;
}) {
  const { performance, until, bar, repeatsEvery, width } = props;
  const strokes = performance.strokes.filter(({ start }) => start < until);
  if (strokes.length === 0) return null;
  const ends = strokes.flatMap(({ from, to }) => [from, to]);
  const least = Math.min(0, ...ends);
  const most = Math.max(30, ...ends);
  const x = scaleLinear([0, until], [LEFT, width - 8]);
  const y = scaleLinear([least, most], [HEIGHT - BELOW, 8]);
  const course = strokes
    .flatMap((stroke) => {
      const steps = stroke.direction === "hold" ? 1 : 8;
      return Array.from({ length: steps + 1 }, (_, index) => {
        const part = index / steps;
        const done = stroke.shape === "eased" ? (1 - Math.cos(Math.PI * part)) / 2 : part;
        return `${tidy(x(stroke.start + (stroke.end - stroke.start) * part))} ${tidy(y(stroke.from + (stroke.to - stroke.from) * done))}`;
      });
    })
    .join("L");
  const ticks = y.ticks(4);
  const bars = Array.from({ length: Math.min(64, Math.ceil(until / bar)) }, (_, index) => index);
  const repeats =
    repeatsEvery > 0
      ? Array.from(
          { length: Math.min(40, Math.floor((most - least) / repeatsEvery) + 2) },
          (_, index) => (Math.ceil(least / repeatsEvery) + index) * repeatsEvery,
        ).filter((at) => at <= most)
      : [];
  const text = `The record goes from ${tidy(strokes[0]!.from)} to ${tidy(strokes.at(-1)!.to)} degrees, between ${tidy(Math.min(...ends))} and ${tidy(Math.max(...ends))}.`;
  return (
    <figure class="chart">
      <svg role="img" aria-label={text} width={width} height={HEIGHT}>
        {ticks.map((tick) => (
          <g key={tick}>
            <line class="axis" x1={LEFT} x2={width - 8} y1={y(tick)} y2={y(tick)} />
            <text x={LEFT - 6} y={y(tick) + 4} text-anchor="end">
              {tick}°
            </text>
          </g>
        ))}
        {bars.map((index) => (
          <text key={index} x={x(index * bar)} y={HEIGHT - 6}>
            {bars.length <= 16 || index % 4 === 0 ? `bar ${index + 1}` : ""}
          </text>
        ))}
        {repeats.map((at) => (
          <line key={at} class="repeat" x1={LEFT} x2={width - 8} y1={y(at)} y2={y(at)} />
        ))}
        <path class="course" d={`M${course}`} />
      </svg>
      <figcaption class="quiet small">
        Where the record is in the sample, degrees against bars
        {repeats.length > 0 && "; dashed: the sample repeats"}. {text}
      </figcaption>
    </figure>
  );
}
