/** The parts of the routine, to choose one of them by its key. */
import { parts } from "./plan.ts";

const KINDS = { join: "Joins", phrase: "Phrases", section: "Sections", whole: "The whole" } as const;

export const PartOptions = () => (
  <>
    {(Object.keys(KINDS) as (keyof typeof KINDS)[]).map((kind) => (
      <optgroup key={kind} label={KINDS[kind]}>
        {parts.value
          .filter(({ of }) => of.kind === kind)
          .map(({ key, name, where }) => (
            <option key={key} value={key}>
              {where === "" ? name : `${name} (${where})`}
            </option>
          ))}
      </optgroup>
    ))}
  </>
);
