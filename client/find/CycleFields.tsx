/** A bound of what is looked for, from and to, and the cycle of a hand in the form. */
import { NumberField, TextField, TickField } from "../parts/Fields.tsx";
import type { Bounds } from "./wish.ts";

/** A number, or nothing: no bound. */
export function Bound(props: {
  label: string;
  value: number | undefined;
  most: number;
  onValue: (value: number | undefined) => void;
}) {
  const { label, value, most, onValue } = props;
  return (
    <TextField
      label={label}
      class="number"
      value={value === undefined ? "" : `${value}`}
      takes={`A whole number from 0 to ${most}, or nothing.`}
      read={(text) => {
        const number = text === "" ? undefined : Number(text);
        return number === undefined || (/^\d+$/.test(text) && number <= most) ? { number } : null;
      }}
      onValue={({ number }) => onValue(number)}
    />
  );
}

export function BoundsField(props: {
  name: string;
  bounds: Bounds;
  most: number;
  onBounds: (bounds: Bounds) => void;
}) {
  const { name, bounds, most, onBounds } = props;
  return (
    <fieldset class="line bounds">
      <legend>{name}</legend>
      <Bound label="from" value={bounds.from} most={most} onValue={(from) => onBounds({ ...bounds, from })} />
      <Bound label="to" value={bounds.to} most={most} onValue={(to) => onBounds({ ...bounds, to })} />
    </fieldset>
  );
}

export function Cycle<Kind extends string>(props: {
  name: string;
  lengths: { readonly from: number; readonly to: number };
  longest: number;
  kinds: readonly Kind[];
  chosen: readonly Kind[];
  onLengths: (lengths: { from: number; to: number }) => void;
  onKinds: (kinds: readonly Kind[]) => void;
}) {
  const { name, lengths, longest, kinds, chosen, onLengths, onKinds } = props;
  return (
    <fieldset class="line">
      <legend>{name}</legend>
      <NumberField
        label="from"
        value={lengths.from}
        min={1}
        max={longest}
        onValue={(from) => onLengths({ ...lengths, from })}
      />
      <NumberField
        label="to"
        value={lengths.to}
        min={1}
        max={longest}
        onValue={(to) => onLengths({ ...lengths, to })}
      />
      <span>steps of</span>
      {kinds.map((kind) => (
        <TickField
          key={kind}
          label={kind}
          value={chosen.includes(kind)}
          onValue={(on) => onKinds(kinds.filter((one) => (one === kind ? on : chosen.includes(one))))}
        />
      ))}
    </fieldset>
  );
}
