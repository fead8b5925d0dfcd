/** Ticks a quarter note, or as many as it takes. */
import { ChoiceField } from "../parts/Fields.tsx";

export function ResolutionField(props: {
  value: number | "exact";
  onValue: (ppq: number | "exact") => void;
}) {
  const usual = [480, 960, 1920];
  const values =
    typeof props.value === "number" && !usual.includes(props.value) ? [...usual, props.value] : usual;
  return (
    <ChoiceField
      label="Ticks a quarter note"
      value={String(props.value)}
      options={[
        ...values.map((one) => [String(one), String(one)] as const),
        ["exact", "as many as put every event on a tick"] as const,
      ]}
      onValue={(value) => props.onValue(value === "exact" ? value : Number(value))}
    />
  );
}
