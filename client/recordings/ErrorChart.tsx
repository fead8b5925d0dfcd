/** Every error by its place in the music: milliseconds against bars, with axes, and a band for what cannot be heard. */
import { scaleLinear } from "d3-scale";
import type { HeardSound } from "../../schemas/recording.ts";
import { becameOf, type Group, lateText } from "./summary.ts";

const [WIDTH, HEIGHT] = [640, 200];
const SPACE = { left: 68, right: 12, top: 12, bottom: 40 };

export function ErrorChart({
  sounds,
  name,
  groups,
}: {
  sounds: readonly HeardSound[];
  name: string;
  groups: readonly Group[];
}) {
  const most = Math.max(20, ...sounds.map(({ errorMs }) => Math.abs(errorMs ?? 0)));
  const y = scaleLinear([-most, most], [HEIGHT - SPACE.bottom, SPACE.top]).nice(4);
  const x = scaleLinear([-0.5, groups.length - 0.5], [SPACE.left, WIDTH - SPACE.right]);
  const every = Math.ceil(groups.length / 16);
  const words = groups
    .map(
      (one) =>
        `${one.name}: ${one.mean === null ? "all missed" : `${lateText(one.mean)} on average${one.spread === null ? "" : `, ${one.spread.toFixed(1)} ms spread`}`}`,
    )
    .join("; ");
  return (
    <figure class="chart">
      <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-label={`Error by ${name}. ${words}.`}>
        {y.ticks(5).map((tick, at, all) => (
          <g key={tick}>
            <path class="axis" d={`M${SPACE.left} ${y(tick)}H${WIDTH - SPACE.right}`} />
            <text x={SPACE.left - 6} y={y(tick) + 4} text-anchor="end">
              {tick > 0 ? `+${tick}` : `${tick}`.replace("-", "−")}
              {at === all.length - 1 && " ms"}
            </text>
          </g>
        ))}
        {groups.map((one, at) => (
          <g key={one.name}>
            {one.mean !== null && one.spread !== null && (
              <path class="spread" d={`M${x(at)} ${y(one.mean - one.spread)}V${y(one.mean + one.spread)}`} />
            )}
            {one.mean !== null && <circle class="mean" cx={x(at)} cy={y(one.mean)} r={4} />}
            {at % every === 0 && (
              <text x={x(at)} y={HEIGHT - SPACE.bottom + 16} text-anchor="middle">
                {one.name}
              </text>
            )}
          </g>
        ))}
        <text x={SPACE.left} y={HEIGHT - 6}>
          {name}
        </text>
      </svg>
      <figcaption class="quiet">
        Error by {name}: below zero is early. The dot is the mean, the stroke the spread to either side of it;{" "}
        {sounds.filter((sound) => becameOf(sound) === "fine").length} of {sounds.length} sounds are so near
        that it cannot be heard.
      </figcaption>
    </figure>
  );
}
