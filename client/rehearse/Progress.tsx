/** What was practised when, and the tempo reached by phrase and join: a chart, the same as a table, and a file. */
import { ColumnHeads } from "../parts/ColumnHeads.tsx";
import { computed, signal } from "@preact/signals";
import { practiceKey, type PracticeEntry, type PracticeOf } from "../../schemas/practice.ts";
import { clockText, counted } from "../parts/music.ts";
import { saveFile } from "../parts/saveFile.ts";
import { show } from "../recordings/kept.ts";
import { spreadText } from "../recordings/summary.ts";
import { goTo } from "../state/place.ts";
import { opened } from "../state/shown.ts";
import { bestTakes } from "./bestTake.ts";
import { entries, practiceTrouble, unread } from "./practice.ts";
import { csvOf } from "./practiceCsv.ts";
import { chosenParts } from "./choice.ts";
import { partNamed } from "./plan.ts";
import { TempoChart } from "./TempoChart.tsx";
import { giveTo, homeless, throwAway } from "./unsentPractice.ts";

/** By key; null: of the part that is chosen. */
const shownKey = signal<string | null>(null);

/** The part's name, also where the routine has it no more. */
function practiceName(of: PracticeOf): string {
  const part = partNamed(practiceKey(of));
  if (part !== undefined) return part.where === "" ? part.name : `${part.name} (${part.where})`;
  switch (of.kind) {
    case "phrase":
      return `${of.pattern} (${of.section}), not in the routine any more`;
    case "join":
      return `${of.from.pattern} to ${of.to.pattern} (${of.to.section}), not in the routine any more`;
    case "section":
      return `${of.section}, not in the routine any more`;
    case "whole":
      return "The whole routine";
  }
}

interface Line {
  readonly key: string;
  readonly name: string;
  readonly all: readonly PracticeEntry[];
}
const lines = computed((): readonly Line[] => {
  const byKey = new Map<string, PracticeEntry[]>();
  for (const entry of entries.value) {
    const key = practiceKey(entry.of);
    byKey.set(key, [...(byKey.get(key) ?? []), entry]);
  }
  return [...byKey].map(([key, all]) => ({ key, name: practiceName(all[0]!.of), all }));
});

const day = (at: string): string =>
  new Date(at).toLocaleDateString("en-GB", { day: "numeric", month: "short", year: "numeric" });
const rounded = (tempo: number | null): string => (tempo === null ? "none" : `${Math.round(tempo)}`);
const most = (all: readonly PracticeEntry[]): number | null => {
  const reached = all.flatMap((one) => (one.reached === null ? [] : [one.reached]));
  return reached.length === 0 ? null : Math.max(...reached);
};

function download(): void {
  const text = csvOf(entries.value, ({ of }) => practiceName(of));
  saveFile(
    new Blob([text], { type: "text/csv;charset=utf-8" }),
    `${opened.value?.name ?? "routine"} practice.csv`,
  );
}

/** Its tempo and what was met; a press opens it on the Recordings screen. */
function BestTake({ take, name }: { take: PracticeEntry | undefined; name: string }) {
  if (take?.recording === undefined || take.score === undefined) return <span class="quiet">none</span>;
  const { reached, failedAt, recording, score } = take;
  const { matched, expected } = score;
  const spread = spreadText(score);
  const words = `${rounded(reached ?? failedAt)} a minute, ${matched} of ${expected} met${spread === null ? "" : `, spread ${spread}`}`;
  return (
    <button
      type="button"
      class="plain"
      aria-label={`Open the best recording of ${name}: ${words}`}
      onClick={() => {
        goTo("recordings");
        void show(recording);
      }}
    >
      {words}
    </button>
  );
}

export function Progress() {
  const all = lines.value;
  const best = bestTakes(entries.value);
  const key = shownKey.value ?? chosenParts()[0]?.key ?? "";
  const line = all.find((one) => one.key === key);
  const seconds = entries.value.reduce((sum, one) => sum + one.seconds, 0);
  return (
    <section class="progress" aria-labelledby="progress-head">
      <div class="line">
        <h3 id="progress-head">Progress</h3>
        <span class="quiet">
          {all.length === 0
            ? "Nothing yet: it begins with your first drill. It is kept beside the routine in this folder, and sent nowhere."
            : `${counted(entries.value.length, "drill")}, ${clockText(seconds)} of music played. Kept beside the routine in this folder, and sent nowhere.`}
        </span>
        {all.length > 0 && (
          <button type="button" onClick={download}>
            Save as CSV
          </button>
        )}
      </div>
      {[...homeless.value].map(([name, count]) => (
        <p key={name} class="warn">
          {counted(count, "drill")} of “{name}” {count === 1 ? "waits" : "wait"} in this browser: the folder
          has no such routine any more.{" "}
          <button type="button" onClick={() => giveTo(name, opened.peek()?.name ?? name)}>
            Add to “{opened.value?.name}”
          </button>{" "}
          <button type="button" onClick={() => throwAway(name)}>
            Throw away
          </button>
        </p>
      ))}
      {practiceTrouble.value !== null && <p class="trouble">{practiceTrouble.value}</p>}
      {unread.value > 0 && (
        <p class="warn">
          {counted(unread.value, "line")} of the practice file could not be read. They are left as they are.
        </p>
      )}
      {all.length > 0 && (
        <>
          <label class="field">
            <span>Tempo reached in</span>
            <select
              value={key}
              onChange={(event) => {
                shownKey.value = event.currentTarget.value;
              }}
            >
              {line === undefined && (
                <option value={key}>{partNamed(key)?.name ?? ""} (not practised yet)</option>
              )}
              {all.map((one) => (
                <option key={one.key} value={one.key}>
                  {one.name}
                </option>
              ))}
            </select>
          </label>
          {line !== undefined && <TempoChart name={line.name} entries={line.all} best={best.get(line.key)} />}
          <div class="scroll">
            <table>
              <caption class="unseen">What was practised, by part</caption>
              <ColumnHeads
                titles={[
                  "Part",
                  "Last practised",
                  "Last reached, quarters a minute",
                  "Best",
                  "Written",
                  "Rounds good",
                  "Best recording",
                ]}
              />
              <tbody>
                {all.map((one) => {
                  const last = one.all.at(-1)!;
                  const good = one.all.reduce((sum, { good }) => sum + good, 0);
                  const bad = one.all.reduce((sum, { bad }) => sum + bad, 0);
                  return (
                    <tr key={one.key}>
                      <th scope="row">{one.name}</th>
                      <td>{day(last.at)}</td>
                      <td>{rounded(last.reached)}</td>
                      <td>{rounded(most(one.all))}</td>
                      <td>{rounded(last.written)}</td>
                      <td>
                        {good} of {good + bad}
                      </td>
                      <td>
                        <BestTake take={best.get(one.key)} name={one.name} />
                      </td>
                    </tr>
                  );
                })}
              </tbody>
            </table>
          </div>
        </>
      )}
    </section>
  );
}
