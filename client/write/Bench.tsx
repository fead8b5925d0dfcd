/** Over the rows of the phrase: each stroke and cell can be clicked, dragged longer, and dragged up for more travel. */
import type { Cell, Pattern, Stroke } from "../../schemas/routine.ts";
import { asLength, fraction, readFraction, unitsOfText, multiply, unitsOf } from "../parts/music.ts";
import { GUTTER, ROW, rowHeight, tracksOf } from "../rows/metrics.ts";
import { changed, type Hand, itemsOf, withItems } from "./phrase.ts";
import { inHand, keep, trying } from "./inHand.ts";

interface Spot {
  readonly hand: Hand;
  readonly index: number;
  readonly from: number;
  readonly to: number;
}

/** Where the items of the first round of a cycle lie, units. */
export function firstRound(pattern: Pattern, hand: Hand): Spot[] {
  const step = readFraction(pattern[hand].step) ?? fraction(1, 16);
  let from = 0;
  return itemsOf(pattern, hand).map((item, index) => {
    const length = unitsOf(multiply(step, readFraction(item.length ?? 1) ?? fraction(1)));
    const spot = { hand, index, from, to: from + length };
    from += length;
    return spot;
  });
}

export function Bench(props: { pattern: Pattern; bar: number; bars: number; width: number }) {
  const { pattern, bar, bars, width } = props;
  const tracks = tracksOf(ROW, 0);
  const pieces = (["record", "fader"] as const).flatMap((hand) =>
    firstRound(pattern, hand).flatMap((spot) => {
      const rows = [];
      for (let row = Math.floor(spot.from / bar); row < Math.min(bars, Math.ceil(spot.to / bar)); row++)
        rows.push({
          ...spot,
          row,
          x0: (Math.max(spot.from, row * bar) - row * bar) / bar,
          x1: (Math.min(spot.to, (row + 1) * bar) - row * bar) / bar,
        });
      return rows;
    }),
  );
  const drag = (event: PointerEvent, { hand, index }: Spot): void => {
    inHand.value = { hand, index };
    const item = itemsOf(pattern, hand)[index]!;
    const step = unitsOfText(pattern[hand].step);
    const length = readFraction(item.length ?? 1) ?? fraction(1);
    let latest: Pattern | null = null;
    const move = (pointer: PointerEvent): void => {
      const by = Math.round((((pointer.clientX - event.clientX) / width) * bar) / step);
      const up = Math.round((event.clientY - pointer.clientY) / 4) * 5;
      const n = length.n + BigInt(by) * length.d;
      const set: Record<string, unknown> = { length: asLength(n > 0n ? fraction(n, length.d) : length) };
      if ("move" in item && item.move !== "hold" && item.shape !== "released" && by === 0)
        set["travel"] = Math.min(3600, Math.max(5, (item.travel ?? 45) + up));
      latest = withItems(pattern, hand, changed(itemsOf(pattern, hand) as (Stroke & Cell)[], index, set));
      trying.value = latest;
    };
    const end = (): void => {
      removeEventListener("pointermove", move);
      removeEventListener("pointerup", end);
      removeEventListener("pointercancel", end);
      if (latest !== null) keep(latest, "Drag the phrase");
    };
    addEventListener("pointermove", move);
    addEventListener("pointerup", end);
    addEventListener("pointercancel", end);
  };
  return (
    <>
      {pieces.map((piece) => {
        const item = itemsOf(pattern, piece.hand)[piece.index]!;
        const top =
          piece.row * rowHeight(ROW, 1) + (piece.hand === "record" ? tracks.record : tracks.fader - 4);
        return (
          <button
            key={`${piece.hand} ${piece.index} ${piece.row}`}
            type="button"
            class="cell"
            aria-label={`${"move" in item ? item.move : item.fader}, ${piece.hand === "record" ? "stroke" : "cell"} ${piece.index + 1}`}
            aria-pressed={inHand.value.hand === piece.hand && inHand.value.index === piece.index}
            style={{
              left: `${GUTTER + piece.x0 * width}px`,
              top: `${top}px`,
              width: `${(piece.x1 - piece.x0) * width}px`,
              height: `${piece.hand === "record" ? ROW.record : 24}px`,
            }}
            onClick={() => {
              inHand.value = { hand: piece.hand, index: piece.index };
            }}
            onPointerDown={(event) => drag(event, piece)}
          />
        );
      })}
    </>
  );
}
