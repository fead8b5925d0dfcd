/** The fields of one strand of a mapping. */
import type { ComponentChildren } from "preact";
import type { Encoding, Mapping } from "../../schemas/mapping.ts";
import { NumberField, TickField } from "../parts/Fields.tsx";
import { keyWords } from "../parts/keys.ts";
import { middleC } from "../state/settings.ts";
import { type StrandName, triesOf, tryNow } from "./tryStrand.ts";

/** Changes fields of a strand; those that are made of what is there take it as it is when it is their turn. */
export type Alter = <Name extends StrandName>(
  strand: Name,
  set: NonNullable<Mapping[Name]> | ((now: Encoding[Name]) => NonNullable<Mapping[Name]>),
) => void;

const STRAND_WORDS: Readonly<Record<StrandName, readonly [name: string, carries: string]>> = {
  sounds: ["Sounds", "what is heard, a note for each sound"],
  record: ["Record hand", "its speed and position, continuously"],
  fader: ["Fader hand", "open and closed"],
  groups: ["Groups", "where each hand starts again, bars and beats"],
  beat: ["Beat", "the drum loop"],
};

/** A key with its name; where it may be left out, a tick says whether it is written. */
export function KeyField(props: {
  label: string;
  value: number | "none";
  percussion: boolean;
  /** Taken when it is written again; left out: it is always written. */
  otherwise?: number;
  onValue: (value: number | "none") => void;
}) {
  const { label, value, percussion, otherwise, onValue } = props;
  return (
    <span class="field key">
      {otherwise !== undefined && (
        <TickField
          label={value === "none" ? label : ""}
          value={value !== "none"}
          onValue={(written) => onValue(written ? otherwise : "none")}
        />
      )}
      {value !== "none" && (
        <>
          <NumberField label={label} value={value} min={0} max={127} onValue={onValue} />
          <span class="quiet">{keyWords(value, middleC.value, percussion).replace(/^\d+ /, "")}</span>
        </>
      )}
    </span>
  );
}

export function StrandFields(props: {
  strand: StrandName;
  encoding: Encoding;
  alter: Alter;
  children: ComponentChildren;
}) {
  const { strand, encoding, alter, children } = props;
  const { written, channel } = encoding[strand];
  const [name, carries] = STRAND_WORDS[strand];
  return (
    <fieldset class="strand">
      <legend>
        {name} <span class="quiet">{carries}</span>
      </legend>
      <div class="line">
        <TickField label="written" value={written} onValue={(on) => alter(strand, { written: on })} />
        {written && (
          <>
            <NumberField
              label="channel"
              value={channel}
              min={1}
              max={16}
              onValue={(value) => alter(strand, { channel: value })}
            />
            {children}
          </>
        )}
      </div>
      {written && (
        <div class="line tries">
          <span class="quiet">Test</span>
          {triesOf(strand, encoding).map(([event, messages]) => (
            <button
              key={event}
              type="button"
              aria-label={`Test ${name}: ${event}`}
              onClick={() => tryNow(messages)}
            >
              {event}
            </button>
          ))}
        </div>
      )}
    </fieldset>
  );
}
