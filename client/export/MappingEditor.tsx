/** How MIDI is written: which mapping is in use, what it says, and where it is kept. */
import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { encodingOf, OUR_MAPPINGS } from "../../schemas/mapping.ts";
import type { Routine } from "../../schemas/routine.ts";
import { ChoiceField, TextField } from "../parts/Fields.tsx";
import { middleC } from "../state/settings.ts";
import { MappingFields } from "./MappingFields.tsx";
import { ResolutionField } from "./ResolutionField.tsx";
import {
  alter,
  copyAs,
  forget,
  inUse,
  isOurs,
  keepForAll,
  loadShelf,
  notForAll,
  ownOf,
  shelf,
  shelfTrouble,
  titleOf,
  use,
} from "./mappings.ts";
import type { Alter } from "./StrandFields.tsx";

export function MappingEditor({ routine }: { routine: Routine }) {
  useEffect(() => void loadShelf(), []);
  const naming = useSignal(false);
  const now = inUse(routine);
  const encoding = encodingOf(now);
  const own = ownOf(routine).filter((one) => !isOurs(one));
  const choices = [
    ...own.map((mapping) => [`own ${mapping.id}`, `${titleOf(mapping)} (this routine’s)`, mapping] as const),
    ...shelf.value.map(
      (mapping) => [`all ${mapping.id}`, `${titleOf(mapping)} (for all routines)`, mapping] as const,
    ),
    ...OUR_MAPPINGS.map((mapping) => [`ours ${mapping.id}`, titleOf(mapping), mapping] as const),
  ];
  const chosen = isOurs(now) ? `ours ${now.id}` : `own ${now.id}`;
  const set: Alter = (strand, fields) =>
    alter((mapping) => ({
      ...mapping,
      [strand]: {
        ...mapping[strand],
        ...(typeof fields === "function" ? fields(encodingOf(mapping)[strand]) : fields),
      },
    }));
  const onShelf = shelf.value.find(({ id }) => id === now.id);
  return (
    <section class="mapping" aria-labelledby="mapping-title">
      <h3 id="mapping-title">How it is written</h3>
      <div class="line">
        <ChoiceField
          label="Mapping"
          value={chosen}
          options={choices.map(([value, words]) => [value, words] as const)}
          onValue={(value) => {
            const mapping = choices.find(([one]) => one === value)?.[2];
            if (mapping !== undefined) use(mapping);
          }}
        />
        <ResolutionField value={encoding.ppq} onValue={(ppq) => alter((one) => ({ ...one, ppq }))} />
        <ChoiceField
          label="Middle C, key 60, is"
          value={String(middleC.value)}
          options={[3, 4, 5].map((octave) => [String(octave), `C${octave}`] as const)}
          onValue={(value) => {
            middleC.value = Number(value);
          }}
        />
      </div>
      <details>
        <summary>Channels, keys and controllers</summary>
        <MappingFields encoding={encoding} alter={set} />
        <div class="line">
          {!isOurs(now) && (
            <TextField
              label="Name"
              value={titleOf(now)}
              read={(text) => (text === "" || text.length > 200 ? null : text)}
              takes="Give it a name of at most 200 characters."
              onValue={(name) => alter((one) => ({ ...one, name }))}
            />
          )}
          {naming.value ? (
            <TextField
              label="Name of the copy"
              value=""
              read={(text) => (text === "" || text.length > 200 ? null : text)}
              takes="Give it a name of at most 200 characters."
              onValue={(name) => {
                naming.value = false;
                copyAs(name);
              }}
            />
          ) : (
            <button
              type="button"
              onClick={() => {
                naming.value = true;
              }}
            >
              Copy it under another name
            </button>
          )}
          {!isOurs(now) && (
            <>
              <button type="button" onClick={() => void keepForAll(now)}>
                {onShelf === undefined
                  ? "Keep it for all routines"
                  : "Bring the one for all routines up to this"}
              </button>
              {onShelf !== undefined && (
                <button type="button" class="plain" onClick={() => void notForAll(now)}>
                  No longer for all routines
                </button>
              )}
              <button type="button" class="plain" onClick={forget}>
                Remove it from this routine
              </button>
            </>
          )}
        </div>
        <p class="quiet small">
          A mapping for all routines lies in the folder, as clip-mappings.json; chosen, it is copied into the
          routine, so that the routine alone says how it is written.
        </p>
      </details>
      {shelfTrouble.value !== null && <p class="trouble">{shelfTrouble.value}</p>}
    </section>
  );
}
