/**
 * Labelled fields of forms: each tells a value that holds, or says what it takes and keeps the one before. What is being
 * typed is never taken away by what is drawn meanwhile.
 */
import type { ComponentChildren } from "preact";
import { useKept } from "./kept.ts";

interface Labelled {
  readonly label: string;
  /** In place of the label, where it is more than words; null: the label is not shown. */
  readonly shown?: ComponentChildren;
  /** Words after the field: "seconds". */
  readonly unit?: string;
  readonly disabled?: boolean;
}

function Label(props: Labelled & { children: ComponentChildren }) {
  const { label, shown, unit = "", children } = props;
  // What can be pressed in it, such as a term that is explained, is no label of the field.
  const Around = shown === undefined ? "label" : "span";
  return (
    <Around class="field">
      {shown !== null && <span>{shown ?? label}</span>}
      {children}
      {unit !== "" && <span>{unit}</span>}
    </Around>
  );
}

export function NumberField(
  props: Labelled & {
    /** null: nothing is said, and the placeholder counts. */
    value: number | null;
    /** With `positive` the least itself does not count. */
    min: number;
    max: number;
    positive?: boolean;
    /** "any" for figures with places. */
    step?: number | "any";
    placeholder?: string;
    onValue: (value: number) => void;
    /** The field may be emptied; left out: it keeps the number that it had. */
    onNone?: () => void;
  },
) {
  const { label, value, min, max, positive, step = 1, placeholder, disabled, onValue, onNone } = props;
  const text = value === null ? "" : String(value);
  const ref = useKept(text);
  return (
    <Label {...props}>
      <input
        ref={ref}
        class="number"
        type="number"
        aria-label={label}
        {...{ min, max, step, placeholder, disabled }}
        defaultValue={text}
        onInput={({ currentTarget: field }) => field.setCustomValidity("")}
        onChange={({ currentTarget: field }) => {
          const none = field.value === "" && !field.validity.badInput;
          const least = positive === true && !none && Number(field.value) <= min;
          field.setCustomValidity(least ? `Write a number above ${min}, up to ${max}.` : "");
          if (!field.reportValidity()) return;
          if (!none) onValue(Number(field.value));
          else if (onNone === undefined) field.value = text;
          else onNone();
        }}
      />
    </Label>
  );
}

export function TextField<Value>(
  props: Labelled & {
    value: string;
    class?: string;
    placeholder?: string;
    maxLength?: number;
    /** What the text says; null where it says nothing that can be, and then `takes` is shown. */
    read: (text: string) => Value | null;
    takes: string | ((text: string) => string);
    onValue: (value: Value) => void;
    /** Offered while one types. */
    offers?: readonly string[];
  },
) {
  const { label, value, read, takes, placeholder, maxLength, disabled, onValue, offers = [] } = props;
  const ref = useKept(value);
  const list = offers.length === 0 ? undefined : `offers-${label.replace(/\W+/g, "-")}`;
  return (
    <Label {...props}>
      <input
        ref={ref}
        class={props.class ?? ""}
        aria-label={label}
        defaultValue={value}
        {...{ list, placeholder, maxLength, disabled }}
        onInput={({ currentTarget: field }) => field.setCustomValidity("")}
        onChange={({ currentTarget: field }) => {
          const text = field.value.trim();
          const said = read(text);
          const trouble = typeof takes === "string" ? takes : takes(text);
          field.setCustomValidity(said === null ? trouble : "");
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
