/** A sound against time, with places on it that can be moved by pointer and by keys. */
import { scaleLinear } from "d3-scale";
import { useEffect, useRef, useState } from "preact/hooks";
import { tidy } from "../parts/music.ts";
import { useWidth } from "../parts/width.ts";
import type { Sound } from "./decode.ts";
import { peaksOf } from "./peaks.ts";

export interface Mark {
  readonly id: string;
  readonly name: string;
  /** Seconds of the sound. */
  readonly at: number;
  readonly least: number;
  readonly most: number;
  readonly put: (at: number) => void;
}

/** A mark that is being moved, or was put and is not answered yet. */
interface Held {
  readonly id: string;
  readonly at: number;
  readonly put: boolean;
}

const HEIGHT = 140;
/** Pixels a mark's name, one under the other, so that marks at one place can be read. */
const NAME = 15;
const BELOW = 22;
/** Seconds of the narrowest view. */
const NARROWEST = 0.02;

const rounded = (at: number): number => Math.round(at * 10_000) / 10_000;

export function Waveform(props: {
  sound: Sound;
  name: string;
  /** Seconds that are used; what lies outside recedes. */
  used?: { readonly from: number; readonly to: number };
  marks: readonly Mark[];
  /** Thin lines, seconds: beats, or where a sample repeats. */
  lines?: readonly number[];
}) {
  const { sound, name, used, marks, lines = [] } = props;
  const ref = useRef<HTMLDivElement>(null);
  const width = Math.max(160, useWidth(ref));
  const [view, setView] = useState({ from: 0, to: sound.seconds });
  // A key that is pressed and let go between two drawings must not be lost, so what is moved is known at once.
  const held = useRef<Held | null>(null);
  const [, draw] = useState(0);
  const hold = (to: Held | null): void => {
    held.current = to;
    draw((count) => count + 1);
  };
  const [active, setActive] = useState(marks[0]?.id);
  const x = scaleLinear([view.from, view.to], [0, width]);
  const middle = (HEIGHT - BELOW) / 2;
  const peaks = peaksOf(sound, view.from, view.to, width);
  let shape = "";
  for (let at = 0; at < width; at++) {
    const high = middle - (peaks.most[at] as number) * (middle - 1);
    const low = middle - (peaks.least[at] as number) * (middle - 1);
    shape += `M${at + 0.5} ${tidy(high)}V${tidy(Math.max(low, high + 0.5))}`;
  }
  const placeOf = (mark: Mark): number => (held.current?.id === mark.id ? held.current.at : mark.at);
  const within = (mark: Mark, at: number): number => rounded(Math.min(mark.most, Math.max(mark.least, at)));
  const settle = (mark: Mark): void => {
    const to = held.current;
    if (to?.id !== mark.id || to.put) return;
    // It stays where it was put until the answer comes: a place that jumps back for a moment misleads.
    hold(to.at === mark.at ? null : { ...to, put: true });
    if (to.at !== mark.at) mark.put(to.at);
  };
  const places = marks.map(({ at }) => at).join();
  useEffect(() => {
    if (held.current?.put === true) hold(null);
  }, [places]);
  const zoom = (factor: number): void => {
    const chosen = marks.find(({ id }) => id === active);
    const centre = chosen === undefined ? (view.from + view.to) / 2 : placeOf(chosen);
    const length = Math.min(sound.seconds, Math.max(NARROWEST, (view.to - view.from) * factor));
    const from = Math.min(sound.seconds - length, Math.max(0, centre - length / 2));
    setView({ from, to: from + length });
  };
  const pan = (part: number): void => {
    const length = view.to - view.from;
    const from = Math.min(sound.seconds - length, Math.max(0, view.from + part * length));
    setView({ from, to: from + length });
  };
  const ticks = x.ticks(Math.max(2, Math.floor(width / 110)));
  const digits = x.tickFormat(Math.max(2, Math.floor(width / 110)));
  return (
    <figure class="waveform" ref={ref}>
      <svg
        width={width}
        height={HEIGHT}
        role="group"
        aria-label={`${name}, ${tidy(Math.round(sound.seconds * 1000) / 1000)} seconds of sound. ${marks
          .map((mark) => `${mark.name} at ${tidy(placeOf(mark))} seconds`)
          .join(", ")}.`}
      >
        <path class="wave" d={shape} />
        {used !== undefined && (
          <>
            <rect class="unused" x={0} y={0} width={Math.max(0, x(used.from))} height={HEIGHT - BELOW} />
            <rect
              class="unused"
              x={Math.min(width, x(used.to))}
              y={0}
              width={Math.max(0, width - x(used.to))}
              height={HEIGHT - BELOW}
            />
          </>
        )}
        {lines
          .filter((at) => at >= view.from && at <= view.to)
          .slice(0, 2000)
          .map((at) => (
            <line key={at} class="axis" x1={x(at)} x2={x(at)} y1={0} y2={HEIGHT - BELOW} />
          ))}
        {ticks.map((tick) => (
          <text key={tick} class="tick" x={x(tick)} y={HEIGHT - 5}>
            {digits(tick)} s
          </text>
        ))}
        {marks.map((mark, index) => {
          const at = placeOf(mark);
          if (at < view.from - 1e-9 || at > view.to + 1e-9) return null;
          const step = Math.max(0.0001, (view.to - view.from) / 1000);
          return (
            <g
              key={mark.id}
              class="mark"
              role="slider"
              tabIndex={0}
              aria-label={mark.name}
              aria-valuemin={mark.least}
              aria-valuemax={mark.most}
              aria-valuenow={at}
              aria-valuetext={`${tidy(at)} seconds`}
              transform={`translate(${x(at)} 0)`}
              onFocus={() => setActive(mark.id)}
              onPointerDown={(event) => {
                event.currentTarget.setPointerCapture(event.pointerId);
                hold({ id: mark.id, at, put: false });
              }}
              onPointerMove={(event) => {
                if (held.current?.id !== mark.id || held.current.put || ref.current === null) return;
                const left = ref.current.getBoundingClientRect().left;
                hold({ id: mark.id, at: within(mark, x.invert(event.clientX - left)), put: false });
              }}
              onPointerUp={() => settle(mark)}
              onPointerCancel={() => hold(null)}
              onKeyDown={(event) => {
                const way = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
                if (way === undefined) return;
                event.preventDefault();
                event.stopPropagation();
                hold({
                  id: mark.id,
                  at: within(mark, placeOf(mark) + way * step * (event.shiftKey ? 10 : 1)),
                  put: false,
                });
              }}
              // One step of undo for a key that is held.
              onKeyUp={() => settle(mark)}
              onBlur={() => settle(mark)}
            >
              <rect class="grip" x={-12} y={0} width={24} height={HEIGHT - BELOW} />
              <line x1={0} x2={0} y1={0} y2={HEIGHT - BELOW} />
              <text
                x={x(at) > width - 120 ? -4 : 4}
                y={12 + index * NAME}
                text-anchor={x(at) > width - 120 ? "end" : "start"}
              >
                {mark.name}
              </text>
            </g>
          );
        })}
      </svg>
      <figcaption class="line">
        <button type="button" class="plain" onClick={() => zoom(0.5)}>
          Closer
        </button>
        <button
          type="button"
          class="plain"
          disabled={view.to - view.from >= sound.seconds}
          onClick={() => zoom(2)}
        >
          Wider
        </button>
        <button type="button" class="plain" disabled={view.from <= 0} onClick={() => pan(-0.5)}>
          Earlier part
        </button>
        <button type="button" class="plain" disabled={view.to >= sound.seconds} onClick={() => pan(0.5)}>
          Later part
        </button>
        <span class="quiet">
          A mark moves by dragging, or by the arrow keys; with Shift ten times as far. Closer makes the steps
          finer.
        </span>
      </figcaption>
    </figure>
  );
}
