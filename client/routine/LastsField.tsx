/** How long a phrase is played at its place. */
import type { Lasts, Placement } from "../../schemas/routine.ts";
import { ChoiceField, NumberField } from "../parts/Fields.tsx";
import type { Lying } from "./lying.ts";
import { untilNext } from "./moving.ts";

/** Keeps a placement changed: told how, since it may have changed meanwhile. */
export type Keep = (how: (placement: Placement) => Placement) => void;

export function LastsField({ one, keep }: { one: Lying; keep: Keep }) {
  const { lasts } = one.placement;
  const kind = lasts === undefined ? "" : (Object.keys(lasts)[0] as "bars" | "cycles" | "steps");
  const count = lasts === undefined ? 1 : (Object.values(lasts)[0] as number);
  const put = (to: Lasts): void => keep((now) => ({ ...now, lasts: to }) as Placement);
  const of = (unit: string, number: number): Lasts => ({ [unit]: number }) as unknown as Lasts;
  return (
    <>
      <ChoiceField
        label="Lasts"
        value={kind}
        options={[
          ["", "until the next one"],
          ["bars", "bars"],
          ...(one.pattern === null
            ? []
            : ([
                ["cycles", "repeats"],
                ["steps", "steps"],
              ] as const)),
        ]}
        onValue={(unit) => (unit === "" ? keep(untilNext) : put(of(unit, count)))}
      />
      {kind !== "" && (
        <NumberField
          label={`How many ${kind === "cycles" ? "repeats" : kind}`}
          value={count}
          min={1}
          max={1_000_000}
          onValue={(number) => put(of(kind, number))}
        />
      )}
    </>
  );
}
