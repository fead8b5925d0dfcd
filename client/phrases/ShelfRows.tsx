/** A phrase or beat on the shelf, and one of the open routine that can be put there. */
import type { MyPhrase } from "../../schemas/phrases.ts";
import { TextField } from "../parts/Fields.tsx";
import { counted, stepName } from "../parts/music.ts";
import { useActions } from "../state/actions.ts";
import { noteNames } from "../state/settings.ts";
import { cellsText, strokesText } from "../write/entry.ts";
import { giveAwayPhrases } from "./files.ts";
import { changeOnShelf, fromShelf, keepOnShelf, recordingOf, takeOffShelf } from "./shelf.ts";

/** What it is, in the words of the Write screen. */
function about(mine: MyPhrase): string {
  if ("beat" in mine)
    return `${mine.beat.recorded === undefined ? "Beat" : `Recorded beat, ${mine.beat.recorded.file}, ${mine.beat.recorded.tempo} quarters a minute,`} of ${counted(mine.beat.steps, "step")}; step: ${stepName(mine.beat.step, noteNames.value)}`;
  const { record, fader } = mine.pattern;
  const steps =
    record.step === fader.step
      ? stepName(record.step, noteNames.value)
      : `${stepName(record.step, noteNames.value)} and ${stepName(fader.step, noteNames.value)}`;
  return `${strokesText(record.strokes)} / ${cellsText(fader.cells)}; step: ${steps}`;
}

export const textOf = (mine: MyPhrase): string =>
  `${mine.name} ${(mine.labels ?? []).join(" ")} ${about(mine)}`.toLowerCase();

export function Mine({ mine }: { mine: MyPhrase }) {
  useActions(
    "My phrases",
    [
      {
        id: `in-${mine.id}`,
        name: `Put ${mine.name} into this routine`,
        keys: [],
        run: () => void fromShelf(mine),
      },
      {
        id: `off-${mine.id}`,
        name: `Remove ${mine.name} from my phrases`,
        keys: [],
        run: () => void takeOffShelf(mine.id),
      },
    ],
    [mine],
  );
  return (
    <li>
      <div class="line">
        <strong>{mine.name}</strong>
        <TextField
          label={`Labels of ${mine.name}`}
          shown="Labels"
          value={(mine.labels ?? []).join(", ")}
          read={(text) => {
            const labels = text.split(",").map((one) => one.trim());
            const said = [...new Set(labels.filter((one) => one !== ""))];
            return said.length <= 20 && said.every((one) => one.length <= 60) ? said : null;
          }}
          takes="Write up to 20 labels, with commas between them."
          onValue={(labels) => {
            const { labels: _, ...rest } = mine;
            void changeOnShelf(labels.length === 0 ? rest : { ...rest, labels });
          }}
        />
        <button type="button" onClick={() => void fromShelf(mine)}>
          Put into this routine
        </button>
        <SaveAsFile mine={mine} />
        <button type="button" onClick={() => void takeOffShelf(mine.id)}>
          Remove
        </button>
      </div>
      <p class="quiet">{about(mine)}</p>
    </li>
  );
}

/** A file of phrases carries no sounds: what plays one goes in a packed routine. */
function SaveAsFile({ mine }: { mine: MyPhrase }) {
  if (recordingOf(mine) !== null) return <span class="quiet">its recording goes in a packed routine</span>;
  return (
    <button type="button" onClick={() => giveAwayPhrases([mine], mine.name)}>
      Save as a file
    </button>
  );
}

export function Own({ mine, known }: { mine: MyPhrase; known: readonly MyPhrase[] }) {
  const kept = known.some((one) => JSON.stringify(one) === JSON.stringify(mine));
  useActions(
    "My phrases",
    kept
      ? []
      : [
          {
            id: `keep-${mine.id}`,
            name: `Keep ${mine.name} in my phrases`,
            keys: [],
            run: () => void keepOnShelf(mine),
          },
        ],
    [kept, JSON.stringify(mine)],
  );
  return (
    <li>
      <div class="line">
        <strong>{mine.name}</strong>
        {kept ? (
          <span class="good">kept</span>
        ) : (
          <button type="button" onClick={() => void keepOnShelf(mine)}>
            {known.some(({ id }) => id === mine.id) ? "Keep this version" : "Keep in my phrases"}
          </button>
        )}
        <SaveAsFile mine={mine} />
      </div>
      <p class="quiet">{about(mine)}</p>
    </li>
  );
}
