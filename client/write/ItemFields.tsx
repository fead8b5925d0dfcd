/** All values of the stroke or cell in hand. */
import { type Cell, DEFAULT_TRAVEL, type Pattern } from "../../schemas/routine.ts";
import { NumberField, TextField } from "../parts/Fields.tsx";
import { Help, type Term } from "../parts/Help.tsx";
import { fractionText } from "../../schemas/fraction.ts";
import { asLength, hoursText, readFraction } from "../parts/music.ts";
import { again, edit, kind, shaped, shove, takeOut } from "./editInHand.ts";
import { caretIn } from "./inHand.ts";
import { canSplit, changed, gateOf, type Item, itemsOf } from "./phrase.ts";

const TERM_OF = {
  forward: "stroke",
  back: "stroke",
  hold: "hold",
  open: "open cell",
  closed: "closed cell",
  click: "fader click",
  pulse: "pulse",
} as const satisfies Record<string, Term>;

type LengthName = "length" | "closedFor" | "openFor";

const set = (what: Record<string, unknown>, words: string): void =>
  edit((all, at) => changed(all, at, what), words);

export function ItemFields(props: { pattern: Pattern }) {
  const { hand, index } = caretIn(props.pattern);
  const items = itemsOf(props.pattern, hand);
  const item = items[index]!;
  const moves = "move" in item && item.move !== "hold";
  const kinds =
    hand === "record"
      ? (["forward", "back", "hold"] as const)
      : (["open", "closed", "click", "pulse"] as const);
  return (
    // Another one in hand has fields of its own.
    <div key={`${hand} ${index}`} class="line" role="group" aria-label="The stroke or cell in hand">
      <strong>
        <Help term={TERM_OF["move" in item ? item.move : item.fader]}>
          {hand === "record" ? "Stroke" : "Cell"} {index + 1} of {items.length}
        </Help>
      </strong>
      {kinds.map((name) => (
        <button
          key={name}
          type="button"
          aria-pressed={("move" in item ? item.move : item.fader) === name}
          onClick={kind(name)}
        >
          {name}
        </button>
      ))}
      <LengthField item={item} name="length" term="length in steps" standard="1" />
      {moves && item.shape !== "released" && (
        <>
          <Amount item={item} name="travel" standard={DEFAULT_TRAVEL} most={3600} />
          <span class="quiet">{hoursText(item.travel ?? DEFAULT_TRAVEL)}</span>
        </>
      )}
      {moves && (
        <span class="field">
          <span>
            <Help term="shape" />
          </span>
          <select
            aria-label="shape"
            value={item.shape ?? "eased"}
            onChange={(e) => {
              const shape = e.currentTarget.value as "eased" | "even" | "released";
              set(shaped(shape), "Change the shape");
            }}
          >
            <option value="eased">eased</option>
            <option value="even">even</option>
            {item.move === "forward" && <option value="released">released</option>}
          </select>
        </span>
      )}
      {canSplit(item) && <Amount item={item} name="times" standard={1} most={64} whole />}
      {"fader" in item && item.fader === "click" && (
        <LengthField item={item} name="closedFor" term="closed for" standard={fractionText(gateOf(item))} />
      )}
      {"fader" in item && item.fader === "pulse" && (
        <LengthField item={item} name="openFor" term="open for" standard={fractionText(gateOf(item))} />
      )}
    </div>
  );
}

/** Where it stands in its cycle. */
export function ItemButtons(props: { pattern: Pattern }) {
  const { hand, index } = caretIn(props.pattern);
  const last = itemsOf(props.pattern, hand).length - 1;
  return (
    <span class="line tight">
      <button type="button" class="plain" onClick={shove(-1)} disabled={index === 0}>
        Earlier
      </button>
      <button type="button" class="plain" onClick={shove(1)} disabled={index === last}>
        Later
      </button>
      <button type="button" class="plain" onClick={again}>
        Another
      </button>
      <button type="button" class="plain" onClick={takeOut(0)} disabled={last === 0}>
        Take out
      </button>
    </span>
  );
}

/** A length in steps: empty is as it is where nothing is said. */
function LengthField(props: { item: Item; name: LengthName; term: Term; standard: string }) {
  const { item, name, term, standard } = props;
  const now = (item as Cell)[name];
  return (
    <TextField
      label={term}
      shown={<Help term={term} />}
      class="number"
      placeholder={standard}
      value={now === undefined ? "" : String(now)}
      read={(text) => {
        const value = readFraction(text);
        return text !== "" && (value === null || value.n === 0n) ? null : { value };
      }}
      takes="Write a length in steps, above 0: 2, or a fraction such as 3/2."
      onValue={({ value }) => {
        const plain = value === null || (name === "length" && value.n === value.d);
        set({ [name]: plain ? undefined : asLength(value) }, `Change the ${term}`);
      }}
    />
  );
}

function Amount(props: {
  item: Item;
  name: "travel" | "times";
  standard: number;
  most: number;
  whole?: boolean;
}) {
  const { item, name, standard, most, whole } = props;
  const now = "move" in item ? item[name] : name === "times" ? item.times : undefined;
  return (
    <NumberField
      label={name}
      shown={<Help term={name} />}
      value={now ?? standard}
      min={0}
      max={most}
      positive
      step={whole === true ? 1 : "any"}
      onValue={(value) => set({ [name]: value === standard ? undefined : value }, `Change the ${name}`)}
    />
  );
}
