/** All values of the stroke or cell in hand. */
import type { Pattern, Stroke } from "../../schemas/routine.ts";
import { Help, type Term } from "../parts/Help.tsx";
import { asLength, hoursText, readFraction } from "../parts/music.ts";
import { edit, kind } from "./editInHand.ts";
import { inHand } from "./inHand.ts";
import { changed, itemsOf } from "./phrase.ts";

export function ItemFields(props: { pattern: Pattern }) {
  const { hand } = inHand.value;
  const items = itemsOf(props.pattern, hand);
  const index = Math.min(inHand.value.index, items.length - 1);
  const item = items[index]!;
  const set = (what: Record<string, unknown>, words: string): void =>
    edit((all, at) => changed(all as Stroke[], at, what), words);
  const length = (name: "length" | "closedFor" | "openFor", label: string, standard: string) => (
    <label class="field">
      <span>{label}</span>
      <input
        class="number"
        value={String((item as unknown as Record<string, unknown>)[name] ?? standard)}
        onChange={(e) => {
          const value = readFraction(e.currentTarget.value);
          set(
            { [name]: value === null || value.n === 0n ? undefined : asLength(value) },
            `Change the ${label}`,
          );
        }}
      />
    </label>
  );
  const number = (name: "travel" | "times", label: Term, standard: number, most: number) => (
    <label class="field">
      <span>
        <Help term={label} />
      </span>
      <input
        class="number"
        type="number"
        min={1}
        max={most}
        step="any"
        aria-label={label}
        value={Number((item as unknown as Record<string, unknown>)[name] ?? standard)}
        onChange={(e) =>
          set(
            {
              [name]: Number(e.currentTarget.value) === standard ? undefined : Number(e.currentTarget.value),
            },
            `Change the ${label}`,
          )
        }
      />
    </label>
  );
  const moves = "move" in item && item.move !== "hold";
  return (
    <div class="line" role="group" aria-label="The stroke or cell in hand">
      <strong>
        {hand === "record" ? "Stroke" : "Cell"} {index + 1} of {items.length}
      </strong>
      {hand === "record"
        ? (["forward", "back", "hold"] as const).map((move) => (
            <button
              key={move}
              type="button"
              aria-pressed={"move" in item && item.move === move}
              onClick={kind(move)}
            >
              {move}
            </button>
          ))
        : (["open", "closed", "click", "pulse"] as const).map((fader) => (
            <button
              key={fader}
              type="button"
              aria-pressed={"fader" in item && item.fader === fader}
              onClick={kind(fader)}
            >
              {fader}
            </button>
          ))}
      {length("length", "Length in steps", "1")}
      {moves && item.shape !== "released" && number("travel", "travel", 45, 3600)}
      {moves && item.shape !== "released" && <span class="quiet">{hoursText(item.travel ?? 45)}</span>}
      {moves && (
        <label class="field">
          <span>
            <Help term="shape" />
          </span>
          <select
            aria-label="shape"
            value={item.shape ?? "eased"}
            onChange={(e) => {
              const shape = e.currentTarget.value;
              set(
                shape === "released"
                  ? { shape, travel: undefined, times: undefined }
                  : { shape: shape === "eased" ? undefined : shape },
                "Change the shape",
              );
            }}
          >
            <option value="eased">eased</option>
            <option value="even">even</option>
            {item.move === "forward" && <option value="released">released</option>}
          </select>
        </label>
      )}
      {((moves && item.shape !== "released") ||
        ("fader" in item && (item.fader === "click" || item.fader === "pulse"))) &&
        number("times", "times", 1, 64)}
      {"fader" in item && item.fader === "click" && length("closedFor", "Shut for, steps", "")}
      {"fader" in item && item.fader === "pulse" && length("openFor", "Open for, steps", "")}
    </div>
  );
}
