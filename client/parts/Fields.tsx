/** Labelled fields of forms: each tells a value that holds, or says what it takes and keeps the one before. */
import type { ComponentChildren } from "preact";

interface Labelled {
  readonly label: string;
  /** In place of the label, where it is more than words. */
  readonly shown?: ComponentChildren;
}

function Label(props: Labelled & { children: ComponentChildren }) {
  return (
    // biome-ignore lint/a11y/noLabelWithoutControl: the field stands among the children
    <label class="field">
      <span>{props.shown ?? props.label}</span>
      {props.children}
    </label>
  );
}

export function NumberField(
  props: Labelled & {
    value: number;
    min: number;
    max: number;
    /** "any" for figures with places. */
    step?: number | "any";
    onValue: (value: number) => void;
  },
) {
  const { label, value, min, max, step = 1, onValue } = props;
  return (
    <Label {...props}>
      <input
        class="number"
        type="number"
        aria-label={label}
        {...{ min, max, step, value }}
        onChange={({ currentTarget: field }) => {
          if (field.value !== "" && field.reportValidity()) onValue(Number(field.value));
          else if (field.value === "") field.value = String(value);
        }}
      />
    </Label>
  );
}

export function TextField<Value>(
  props: Labelled & {
    value: string;
    class?: string;
    /** What the text says; null where it says nothing that can be, and then `takes` is shown. */
    read: (text: string) => Value | null;
    takes: string;
    onValue: (value: Value) => void;
    /** Offered while one types. */
    offers?: readonly string[];
  },
) {
  const { label, value, read, takes, onValue, offers = [] } = props;
  const list = offers.length === 0 ? undefined : `offers-${label.replace(/\W+/g, "-")}`;
  return (
    <Label {...props}>
      <input
        class={props.class ?? ""}
        aria-label={label}
        value={value}
        list={list}
        onInput={({ currentTarget: field }) => field.setCustomValidity("")}
        onChange={({ currentTarget: field }) => {
          const said = read(field.value.trim());
          field.setCustomValidity(said === null ? takes : "");
          if (field.reportValidity() && said !== null) onValue(said);
        }}
      />
      {list !== undefined && (
        <datalist id={list}>
          {offers.map((offer) => (
            <option key={offer} value={offer} />
          ))}
        </datalist>
      )}
    </Label>
  );
}

export function ChoiceField(
  props: Labelled & {
    value: string;
    options: readonly (readonly [value: string, words: string])[];
    onValue: (value: string) => void;
  },
) {
  return (
    <Label {...props}>
      <select
        aria-label={props.label}
        value={props.value}
        onChange={(event) => props.onValue(event.currentTarget.value)}
      >
        {props.options.map(([value, words]) => (
          <option key={value} value={value}>
            {words}
          </option>
        ))}
      </select>
    </Label>
  );
}

export function TickField(props: { label: string; value: boolean; onValue: (value: boolean) => void }) {
  return (
    <label class="field">
      <input
        type="checkbox"
        checked={props.value}
        onChange={(event) => props.onValue(event.currentTarget.checked)}
      />
      <span>{props.label}</span>
    </label>
  );
}
