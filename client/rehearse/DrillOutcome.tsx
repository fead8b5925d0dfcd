/** After a drill or a run, for reading from afar: what held, what failed and where, what comes tomorrow. */
import { clockText } from "../parts/music.ts";
import { keyWords } from "../state/actions.ts";
import { pauseDue } from "./care.ts";
import { keysOf } from "./controls.ts";
import { firstTomorrow } from "./plan.ts";
import { chosenParts } from "./choice.ts";
import { lastRun, wholeSeconds } from "./run.ts";
import { running, type Tally, tallies } from "./rounds.ts";
import { weakestText } from "./weakestText.ts";

/** More of them would not stand on the screen. */
const MOST = 2;

export function DrillOutcome() {
  if (running.value) return null;
  const done = [...tallies.value.values()].filter(({ good, bad }) => good + bad > 0);
  const run = lastRun.value;
  const [first, ...others] = done;
  const tomorrow = firstTomorrow();
  const starts = <kbd>{keyWords(keysOf("start")[0] ?? "")}</kbd>;
  if (run !== null)
    return (
      <div class="far-outcome" role="status">
        <p>
          <strong>{clockText(run.seconds)}</strong> of {clockText(wholeSeconds())} played
        </p>
        <p>{run.slips.length === 0 ? "No section left after a slip" : `Slips: ${run.slips.join(", ")}`}</p>
        <p>
          <kbd>R</kbd> runs through again
        </p>
        <p>
          {starts} starts: {chosenParts()[0]?.name}
        </p>
      </div>
    );
  if (first === undefined)
    return (
      <div class="far-outcome">
        <p>Nothing is played yet.</p>
        <p>
          {starts} starts: {chosenParts()[0]?.name}
        </p>
      </div>
    );
  return (
    <div class="far-outcome" role="status">
      {others.length === 0 ? (
        <Held tally={first} />
      ) : (
        done.slice(0, MOST).map((tally) => (
          <div key={tally.part.key}>
            <p>{tally.part.name}</p>
            <Held tally={tally} />
          </div>
        ))
      )}
      {done.length > MOST && <p>And {done.length - MOST} more: Esc shows all</p>}
      {tomorrow !== undefined && <p>Tomorrow: {tomorrow.name}</p>}
      {pauseDue.value !== null && <p>Time for a pause</p>}
      <p>{starts} plays it again</p>
    </div>
  );
}

function Held({ tally: { part, reached, failedAt } }: { tally: Tally }) {
  const minute = (percent: number): number => Math.round((part.tempo * percent) / 100);
  const weakest = weakestText(part);
  return (
    <>
      <p>
        <strong>{reached === null ? "Not held yet" : `Held at ${reached} %`}</strong>
        {reached !== null && `, ${minute(reached)} a minute`}
      </p>
      <p>{failedAt === null ? "None failed" : `Failed from ${failedAt} %, ${minute(failedAt)} a minute`}</p>
      {weakest !== null && <p>Weakest: {weakest}</p>}
    </>
  );
}
