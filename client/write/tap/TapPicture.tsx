/** The taps against the chosen step, one round: where each was, and where it goes. */
import type { Rhythm } from "./taps.ts";

const HEIGHT = 64;
const RAW = 26;

/** @param step units; @param perBeat steps in a beat of the metre */
export function TapPicture(props: {
  rhythm: Rhythm;
  step: number;
  perBeat: number;
  width: number;
  text: string;
}) {
  const { rhythm, step, perBeat, width } = props;
  const x = (steps: number): number => 8 + (steps / rhythm.length) * (width - 16);
  const lines = rhythm.length <= 256 ? Array.from({ length: rhythm.length + 1 }, (_, index) => index) : [];
  return (
    <svg class="tap-picture" role="img" aria-label={props.text} width={width} height={HEIGHT}>
      {lines.map((line) => (
        <line
          key={line}
          class={line % perBeat === 0 ? "beat" : "step"}
          x1={x(line)}
          x2={x(line)}
          y1={line % perBeat === 0 ? 0 : 12}
          y2={HEIGHT}
        />
      ))}
      {rhythm.placed.map(({ step: at, off, spare }, index) => {
        const raw = x(at + off / step);
        return (
          <g key={index} class={spare ? "spare" : ""}>
            <line class="raw" x1={raw} x2={raw} y1={4} y2={RAW} />
            <line class="way" x1={raw} x2={x(at)} y1={RAW} y2={HEIGHT - 22} />
            {!spare && <rect class="goes" x={x(at) - 3} y={HEIGHT - 22} width={6} height={18} />}
          </g>
        );
      })}
    </svg>
  );
}
