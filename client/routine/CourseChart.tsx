/** The routine against its seconds: sections, tempo and density, with axes, and the same said in words. */
import { scaleLinear } from "d3-scale";
import { clockText, spanText, tidy } from "../parts/music.ts";
import type { Course } from "./course.ts";

const LEFT = 44;
const NAMES = 20;
const TEMPO = 44;
const DENSITY = 52;
const BETWEEN = 20;
const BELOW = 22;
const HEIGHT = NAMES + TEMPO + BETWEEN + DENSITY + BELOW;
/** Pixels that the words beside the time limit's line take. */
const LIMIT_WORDS = 120;
/** Times between ticks of the axis, seconds. */
const TICKS = [5, 10, 15, 30, 60, 120, 300, 600, 1200, 3600];

/** Pixels of a letter, on the whole, and letters of a name that are worth showing. */
const LETTER = 7;
const FEWEST = 5;

/** As much of a name as there is room for. @param room pixels */
function inRoom(name: string, room: number): string {
  const letters = Math.floor(room / LETTER);
  if (name.length <= letters) return name;
  return letters < FEWEST ? "" : `${name.slice(0, letters - 1).trimEnd()}…`;
}

/** @param limit seconds; null: none. @param onPress with the section that was pressed; "": none is there */
export function CourseChart(props: {
  course: Course;
  limit: number | null;
  width: number;
  onPress: (section: string) => void;
}) {
  const { course, limit, width } = props;
  const { seconds, stretches, density, every } = course;
  const right = width - 8;
  const end = Math.max(seconds, limit ?? 0);
  const x = scaleLinear([0, end], [LEFT, right]);
  const tempi = stretches.flatMap(({ tempo }) => tempo);
  const low = Math.floor((Math.min(...tempi) - 2) / 5) * 5;
  const high = Math.ceil((Math.max(...tempi) + 2) / 5) * 5;
  const tempoY = scaleLinear([low, high], [NAMES + TEMPO, NAMES]);
  const most = Math.max(1, ...density);
  const base = NAMES + TEMPO + BETWEEN + DENSITY;
  const densityY = scaleLinear([0, most], [base, NAMES + TEMPO + BETWEEN]).nice(2);
  const tick = TICKS.find((one) => x(one) - LEFT >= 60) ?? 3600;
  const ticks = Array.from({ length: Math.floor(end / tick) + 1 }, (_, index) => index * tick);
  const line = stretches
    .map(({ from, to, tempo }) => `M${x(from)} ${tempoY(tempo[0])}L${x(to)} ${tempoY(tempo[1])}`)
    .join("");
  const bars = density
    .map((value, index) => {
      const left = x(index * every);
      const to = x(Math.min(seconds, (index + 1) * every));
      return value === 0 ? "" : `M${left} ${base}V${densityY(value)}H${to}V${base}Z`;
    })
    .join("");
  const text = textOf(course, limit);
  return (
    <svg
      class="chart"
      role="img"
      aria-label={text}
      width={width}
      height={HEIGHT}
      onPointerUp={(event) => {
        const at = x.invert(event.clientX - event.currentTarget.getBoundingClientRect().left);
        props.onPress(stretches.find(({ from, to }) => at >= from && at < to)?.id ?? "");
      }}
    >
      {stretches.length <= 60 &&
        stretches.map(({ id, name, from, to }) => (
          <g key={id}>
            <line class="axis" x1={x(from)} x2={x(from)} y1={2} y2={base} />
            <text x={x(from) + 4} y={13}>
              {inRoom(name, x(to) - x(from) - 8)}
            </text>
          </g>
        ))}
      {tempoY.ticks(2).map((value) => (
        <text key={value} x={LEFT - 6} y={tempoY(value) + 4} text-anchor="end">
          {value}
        </text>
      ))}
      {densityY.ticks(2).map((value) => (
        <g key={value}>
          <line class="axis" x1={LEFT} x2={right} y1={densityY(value)} y2={densityY(value)} />
          <text x={LEFT - 6} y={densityY(value) + 4} text-anchor="end">
            {value}
          </text>
        </g>
      ))}
      <path class="course" d={line} />
      <path class="amount" d={bars} />
      <text x={LEFT + 4} y={NAMES + 12}>
        tempo, quarters a minute
      </text>
      <text x={LEFT + 4} y={NAMES + TEMPO + BETWEEN - 3}>
        sounds a second
      </text>
      {limit !== null && (
        <g>
          <line class="limit" x1={x(limit)} x2={x(limit)} y1={2} y2={base + 4} />
          <text
            x={x(limit) < LEFT + LIMIT_WORDS ? Math.max(x(limit) + 4, LEFT + LIMIT_WORDS) : x(limit) - 4}
            y={NAMES + TEMPO + 10}
            text-anchor={x(limit) < LEFT + LIMIT_WORDS ? "start" : "end"}
          >
            time limit {clockText(limit)}
          </text>
        </g>
      )}
      {ticks.map((at) => (
        <text
          key={at}
          x={x(at)}
          y={HEIGHT - 6}
          text-anchor={at === 0 ? "start" : right - x(at) < 16 ? "end" : "middle"}
        >
          {clockText(at)}
        </text>
      ))}
    </svg>
  );
}

function textOf({ seconds, stretches, density }: Course, limit: number | null): string {
  const tempi = stretches.flatMap(({ tempo }) => tempo);
  const sounds = stretches.reduce((sum, one) => sum + one.sounds, 0);
  const over =
    limit === null
      ? ""
      : seconds > limit
        ? `, ${spanText(Math.ceil(seconds - limit))} over the limit`
        : `, ${spanText(Math.floor(limit - seconds))} under the limit`;
  return `${clockText(seconds)} minutes${over}. Tempo from ${tidy(Math.min(...tempi), 1)} to ${tidy(Math.max(...tempi), 1)} quarters a minute. ${tidy(sounds / Math.max(1, seconds), 1)} sounds a second on the whole, ${tidy(Math.max(0, ...density), 1)} where it is densest. The table says it section by section.`;
}
