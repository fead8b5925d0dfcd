/**
 * Over the rows of the phrase: what lies under the pointer can be clicked and dragged in every round, and the first
 * round of each hand is a list for the keyboard and for those who hear the screen.
 */
import { useRef } from "preact/hooks";
import type { Pattern } from "../../schemas/routine.ts";
import { countText } from "../parts/music.ts";
import { GUTTER, ROW } from "../rows/metrics.ts";
import { drag } from "./benchDrag.ts";
import { type Bench as Rows, type Box, boxesOf, cycleOf, foundAt, heightOf, spotsOf } from "./benchPlaces.ts";
import { caretIn, toHand } from "./inHand.ts";
import { canSplit, type Hand, type Item, itemsOf } from "./phrase.ts";
import { itemText } from "./entry.ts";

/** Pixels on each side of an edge. */
const MOUSE = 7;
const FINGER = 14;
/** More rounds than this are not marked. */
const MOST_MARKS = 200;

const HANDS: Readonly<Record<Hand, string>> = { record: "Record hand", fader: "Fader hand" };
const styleOf = ({ left, top, width, height }: Box): Record<string, string> => ({
  left: `${GUTTER + left}px`,
  top: `${top}px`,
  width: `${width}px`,
  height: `${height}px`,
});

/** @param beat units in a beat of the metre; @param combined units until both hands start together again */
export function Bench(props: {
  pattern: Pattern;
  bar: number;
  bars: number;
  width: number;
  rowHeight: number;
  beat: number;
  combined: number;
}) {
  const { pattern, beat, combined } = props;
  const ref = useRef<HTMLDivElement>(null);
  const rows: Rows = { bar: props.bar, bars: props.bars, width: props.width, rowHeight: props.rowHeight };
  const caret = caretIn(pattern);
  const item = itemsOf(pattern, caret.hand)[caret.index]!;
  const find = (event: PointerEvent) => {
    const box = ref.current!.getBoundingClientRect();
    const point = { x: event.clientX - box.left - GUTTER, y: event.clientY - box.top };
    return foundAt(pattern, rows, point, event.pointerType === "mouse" ? MOUSE : FINGER);
  };
  const area = () => ({ element: ref.current!, left: GUTTER });
  const inHandSpot = spotsOf(pattern, caret.hand)[caret.index]!;
  const first = boxesOf(rows, caret.hand, inHandSpot.from, inHandSpot.to);
  const handle = (way: "length" | "travel") => (event: PointerEvent) => {
    event.preventDefault();
    event.stopPropagation();
    drag(event, pattern, rows, { ...caret, round: 0, edge: way === "length" }, area(), way);
  };
  return (
    <div
      ref={ref}
      class="bench-over"
      style={{ height: `${rows.bars * heightOf(rows)}px` }}
      onPointerMove={(event) => {
        const found = event.buttons === 0 ? find(event) : null;
        if (event.buttons === 0)
          event.currentTarget.style.cursor = found === null ? "" : found.edge ? "ew-resize" : "grab";
      }}
      onPointerDown={(event) => {
        const found = event.button === 0 ? find(event) : null;
        if (found === null) return;
        drag(event, pattern, rows, found, area());
      }}
    >
      {(["record", "fader"] as const).map((hand) => (
        <HandList key={hand} hand={hand} pattern={pattern} rows={rows} beat={beat} />
      ))}
      {marks(pattern, rows, caret).map((box) => (
        <div key={`${box.left} ${box.top}`} class="same" style={styleOf(box)} />
      ))}
      {repeats(rows, combined).map(({ number, box }) => (
        <div key={number} class="repeat-number" aria-hidden="true" style={styleOf(box)}>
          {number === 1 ? "" : `repeat ${number}`}
        </div>
      ))}
      {first.length > 0 && (
        <div aria-hidden="true">
          <div
            class="grip length"
            title="Drag to make it longer or shorter"
            style={{
              left: `${GUTTER + first.at(-1)!.left + first.at(-1)!.width - 12}px`,
              top: `${first.at(-1)!.top + first.at(-1)!.height / 2 - 12}px`,
            }}
            onPointerDown={handle("length")}
          />
          {"move" in item && canSplit(item) && (
            <div
              class="grip travel"
              title="Drag up for more travel"
              style={{
                left: `${GUTTER + first[0]!.left + first[0]!.width / 2 - 12}px`,
                top: `${first[0]!.top - 14}px`,
              }}
              onPointerDown={handle("travel")}
            />
          )}
        </div>
      )}
    </div>
  );
}

/** One hand's cycle as a list; arrows go over it by the actions of the screen. */
function HandList(props: { hand: Hand; pattern: Pattern; rows: Rows; beat: number }) {
  const { hand, pattern, rows } = props;
  const items: readonly Item[] = itemsOf(pattern, hand);
  const caret = caretIn(pattern);
  return (
    <div
      role="listbox"
      class="hand-list"
      aria-label={`${HANDS[hand]}, ${items.length === 1 ? "1 in its cycle" : `${items.length} in their cycle`}`}
      aria-orientation="horizontal"
      aria-activedescendant={caret.hand === hand ? `${hand}-${caret.index}` : undefined}
      tabIndex={0}
      onFocus={() => toHand(hand)}
    >
      {spotsOf(pattern, hand).map(({ index, from, to }) => {
        const chosen = caret.hand === hand && caret.index === index;
        return (
          <div
            key={index}
            id={`${hand}-${index}`}
            role="option"
            tabIndex={-1}
            aria-selected={chosen}
            aria-label={`${itemText(items[index]!)}, at ${countText(from, props.beat)}`}
          >
            {boxesOf(rows, hand, from, to).map((box) => (
              <div key={box.top} class={`cell ${chosen ? "chosen" : ""}`} style={styleOf(box)} />
            ))}
          </div>
        );
      })}
    </div>
  );
}

/** Where the one in hand comes again. */
function marks(pattern: Pattern, rows: Rows, { hand, index }: { hand: Hand; index: number }): readonly Box[] {
  const spots = spotsOf(pattern, hand);
  const cycle = cycleOf(spots);
  const rounds = Math.min(MOST_MARKS, Math.ceil((rows.bars * rows.bar) / cycle));
  return Array.from({ length: rounds }, (_, round) => round)
    .slice(1)
    .flatMap((round) =>
      boxesOf(rows, hand, spots[index]!.from + round * cycle, spots[index]!.to + round * cycle),
    );
}

/** Where both hands start together again. */
function repeats(rows: Rows, combined: number): readonly { number: number; box: Box }[] {
  const count = Math.min(MOST_MARKS, Math.ceil((rows.bars * rows.bar) / combined));
  return Array.from({ length: count }, (_, index) => {
    const at = index * combined;
    const row = Math.floor(at / rows.bar);
    const left = (at / rows.bar - row) * rows.width;
    return {
      number: index + 1,
      box: { left, top: row * heightOf(rows), width: Math.min(80, rows.width - left), height: ROW.label },
    };
  });
}
