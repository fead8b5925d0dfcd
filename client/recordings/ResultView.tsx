/** One recording: what it says, where it was early and late, and its sound beside the program's. */
import { signal } from "@preact/signals";
import type { HeardSound, Recording } from "../../schemas/recording.ts";
import { beatUnits, counted, countText } from "../parts/music.ts";
import { opened } from "../state/shown.ts";
import { ErrorChart } from "./ErrorChart.tsx";
import { ErrorRows } from "./ErrorRows.tsx";
import { compareAgain } from "./kept.ts";
import { judgedUpTo } from "./reached.ts";
import { becameOf, groupsOf, lateText, spreadText } from "./summary.ts";
import { Listen } from "./ListenLine.tsx";

type Sorting = "step" | "hand" | "place";
const sorting = signal<Sorting>("step");
const SORTINGS: Readonly<Record<Sorting, string>> = {
  step: "step of the group",
  hand: "hand",
  place: "place in the bar",
};

/** A peak under this is hardly over the noise of an input: −46 dB. */
const QUIET = 0.005;

function keyOf(sound: HeardSound): string {
  if (sorting.value === "hand") return sound.hand === "record" ? "record hand" : "fader hand";
  if (sorting.value === "step") return `${sound.hand} ${sound.step}`;
  const now = opened.value;
  const index = now?.routine.sections.findIndex(({ id }) => id === sound.section) ?? -1;
  const section = now?.routine.sections[index];
  const bar = now?.performance.sections[index]?.performance.bar ?? 1;
  const into = ((sound.at % bar) + bar) % bar;
  return section === undefined ? "?" : countText(into, beatUnits(section.meter));
}

const order = (a: { name: string }, b: { name: string }): number =>
  a.name.localeCompare(b.name, "en", { numeric: true });

export function ResultView({ recording }: { recording: Recording }) {
  const { result } = recording;
  return (
    <section class="result" aria-labelledby="result-head">
      <h3 id="result-head">
        {recording.title},{" "}
        {new Date(recording.at).toLocaleString("en-GB", { dateStyle: "medium", timeStyle: "short" })}
      </h3>
      {recording.peak !== null && recording.peak < QUIET && (
        <p class="warn">
          The recording is very quiet: its loudest moment reaches {(100 * recording.peak).toFixed(2)} % of the
          scale. Turn the input up, or choose another one.
        </p>
      )}
      {recording.clipped > 8 && (
        <p class="warn">
          The input was too loud: {recording.clipped} samples stand at the end of the scale. Onsets are still
          found, but turn the input down for the sound’s sake.
        </p>
      )}
      {result === null ? (
        <p class="trouble">
          It has not been compared.{" "}
          <button type="button" onClick={() => void compareAgain(recording)}>
            Compare it
          </button>
        </p>
      ) : (
        <Words recording={recording} />
      )}
      {recording.peak !== null && <Listen recording={recording} />}
      {result !== null && (
        <>
          <Legend />
          <ErrorRows recording={recording} />
          <label class="field">
            <span>Errors by</span>
            <select
              value={sorting.value}
              onChange={(event) => {
                sorting.value = event.currentTarget.value as Sorting;
              }}
            >
              {Object.entries(SORTINGS).map(([value, words]) => (
                <option key={value} value={value}>
                  {words}
                </option>
              ))}
            </select>
          </label>
          <Groups sounds={result.sounds} />
        </>
      )}
    </section>
  );
}

function Words({ recording }: { recording: Recording }) {
  const result = recording.result!;
  const { lagMs, beatLagMs, sounds, extra, f } = result;
  const spread = spreadText(result);
  const count = (what: string): number => sounds.filter((sound) => becameOf(sound) === what).length;
  const behind = lagMs === null || beatLagMs === null ? null : lagMs - beatLagMs;
  if (sounds.length === 0)
    return (
      <p class="trouble">
        {recording.stopped === true
          ? "It was stopped before the first sound that is meant, so there is nothing to judge."
          : "Nothing is meant where it was played, so there is nothing to judge."}
      </p>
    );
  if (lagMs === null)
    return (
      <p class="trouble">
        Nothing of what is meant was heard. See that the right section was played, from its start, and that
        the input is the one of the turntable.
      </p>
    );
  return (
    <>
      <p class="figures" data-lag={lagMs} data-f={f}>
        <strong>{counted(sounds.length, "sound")}</strong>: {count("fine")} in time, {count("early")} early,{" "}
        {count("late")} late, {count("missed")} missed, and {extra.length} extra.{" "}
        {spread === null ? (
          "One sound that was met says nothing of steadiness."
        ) : (
          <>
            Steadiness: errors spread by <strong>{spread}</strong>.
          </>
        )}{" "}
        Onset measure F {f.toFixed(3)} (window 50 ms).
      </p>
      <StoppedEarly recording={recording} />
      <p class="as-a-whole">
        As a whole it is <strong>{lateText(lagMs)}</strong>
        {recording.allowedMs !== 0 &&
          `, after ${recording.allowedMs.toFixed(1)} ms of delay were allowed for`}
        {behind !== null && `; against the beat that is heard in it, ${lateText(behind)}`}. This even part is
        no unsteadiness, and is taken off every error below.
      </p>
    </>
  );
}

function StoppedEarly({ recording }: { recording: Recording }) {
  const upTo = judgedUpTo(recording);
  if (upTo === null) return null;
  return (
    <p class="stopped">
      It was stopped early: judged up to <strong>{upTo}</strong>. What comes after it is not counted.
    </p>
  );
}

function Legend() {
  return (
    <p class="quiet">
      Under each row: a short stroke is in time (the error is too small to be heard: under 6 ms, or 2.5 % of a
      distance over 240 ms; Friberg and Sundberg 1995), a wedge over the line that points left is early, one
      under it that points right is late (the larger the further), a cross is missed, a diamond is extra.
    </p>
  );
}

function Groups({ sounds }: { sounds: readonly HeardSound[] }) {
  const groups = groupsOf(sounds, keyOf).sort(order);
  return (
    <>
      <ErrorChart sounds={sounds} name={SORTINGS[sorting.value]} groups={groups} />
      <details>
        <summary>The same as a table</summary>
        <table>
          <thead>
            <tr>
              <th scope="col">{SORTINGS[sorting.value]}</th>
              <th scope="col">Sounds</th>
              <th scope="col">Missed</th>
              <th scope="col">Mean error</th>
              <th scope="col">Spread</th>
            </tr>
          </thead>
          <tbody>
            {groups.map((one) => (
              <tr key={one.name}>
                <td>{one.name}</td>
                <td>{one.count}</td>
                <td>{one.missed}</td>
                <td>{one.mean === null ? "–" : lateText(one.mean)}</td>
                <td>{one.spread === null ? "–" : `${one.spread.toFixed(1)} ms`}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </details>
    </>
  );
}
