/** What lies in the bin of the folder, each to be brought back. */
import { useEffect, useState } from "preact/hooks";
import type { Binned } from "../../schemas/wire.ts";
import { useActions } from "../state/actions.ts";
import { ask } from "../state/connection.ts";
import { folder } from "../state/opening.ts";
import { said } from "../state/said.ts";
import { tried } from "./tried.ts";
import { sizeWords } from "./words.ts";

export function Bin() {
  const [lies, setLies] = useState<readonly Binned[]>([]);
  const [trouble, setTrouble] = useState<string | null>(null);
  const routines = folder.value?.routines;
  // The bin changes only as the folder does.
  useEffect(() => {
    void tried(async () => setLies((await ask<"binned">({ type: "binned" })).routines)).then(setTrouble);
  }, [routines]);
  const bringBack = (place: string): void =>
    void tried(async () => {
      const { name } = await ask<"done">({ type: "bring-back", place });
      said.value = `${name ?? "It"} is back in the folder`;
    }).then(setTrouble);
  useActions(
    "Routines",
    lies.map(({ place, name }) => ({
      id: `back-${place}`,
      name: `Bring back ${name}, in the bin since ${place.slice(0, 10)}`,
      keys: [],
      run: () => bringBack(place),
    })),
    [lies],
  );
  return (
    <details class="bin">
      <summary>
        In the bin:{" "}
        {lies.length === 0 ? "nothing" : lies.length === 1 ? "1 routine" : `${lies.length} routines`}
      </summary>
      {trouble !== null && (
        <p class="trouble" role="alert">
          {trouble}
        </p>
      )}
      {lies.length === 0 ? (
        <p class="quiet">
          What you put into the bin lies here until you bring it back. Nothing is destroyed.
        </p>
      ) : (
        <ul class="routines" aria-label="In the bin">
          {lies.map(({ place, name, bytes }) => (
            <li key={place} class="line">
              <span>
                <strong>{name}</strong>{" "}
                <span class="quiet small">
                  since {place.slice(0, 10)}, {sizeWords(bytes)}
                </span>
              </span>
              <button
                type="button"
                class="plain"
                aria-label={`Bring back ${name}, in the bin since ${place.slice(0, 10)}`}
                onClick={() => bringBack(place)}
              >
                Bring back
              </button>
            </li>
          ))}
        </ul>
      )}
    </details>
  );
}
