/** One bar of a beat: a lane a drum, a hit as high as it is strong. */
import type { Hit } from "../../schemas/routine.ts";
import { drumName, strikesOf } from "./beatHits.ts";

/** @param perBar steps in the bar; @param every steps between the upright lines; @param lane pixels a drum */
export interface BeatBarProps {
  hits: readonly Hit[];
  keys: readonly number[];
  bar: number;
  perBar: number;
  steps: number;
  every: number;
  width: number;
  lane: number;
  caret?: { readonly key: number; readonly at: number };
  onPointerDown?: (event: PointerEvent & { currentTarget: SVGSVGElement }) => void;
}

export function BeatBar(props: BeatBarProps) {
  const { hits, keys, bar, perBar, steps, every, width, lane, caret } = props;
  const from = bar * perBar;
  const x = (at: number): number => ((at - from) / perBar) * width;
  const here = strikesOf(hits).filter(({ at }) => at >= from && at < from + perBar);
  const end = Math.min(steps, from + perBar);
  const text = keys
    .map((key) => {
      const at = here.filter((one) => one.key === key).map((one) => one.at - from + 1);
      return `${drumName(key)} at ${at.length === 0 ? "no step" : at.sort((a, b) => a - b).join(", ")}`;
    })
    .join("; ");
  return (
    <svg
      class="beat-bar"
      role="img"
      aria-label={`Bar ${bar + 1}: ${text}`}
      width={width}
      height={keys.length * lane}
      onPointerDown={props.onPointerDown}
    >
      {Array.from({ length: Math.floor((end - from) / every) + 1 }, (_, line) => (
        <line
          key={line}
          class="axis"
          x1={x(from + line * every)}
          x2={x(from + line * every)}
          y1={0}
          y2={keys.length * lane}
        />
      ))}
      {here.map(({ key, at, velocity }) => {
        const height = (lane - 3) * (0.3 + (0.7 * velocity) / 127);
        return (
          <rect
            key={`${key} ${at} ${velocity}`}
            class="hit"
            x={x(at)}
            y={(keys.indexOf(key) + 1) * lane - 1.5 - height}
            width={Math.max(3, lane / 3.4)}
            height={height}
          />
        );
      })}
      {caret !== undefined && caret.at >= from && caret.at < from + perBar && keys.includes(caret.key) && (
        <rect
          class="caret"
          x={x(caret.at) - 3}
          y={keys.indexOf(caret.key) * lane}
          width={lane / 3.4 + 6}
          height={lane}
        />
      )}
    </svg>
  );
}
