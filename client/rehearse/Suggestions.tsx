/** What to practise next, the weakest joins first, with the reason; and how the drill before went. */
import { practiceKey } from "../../schemas/practice.ts";
import { withCaution } from "../audio/caution.ts";
import { counted } from "../parts/music.ts";
import { Help } from "../parts/Help.tsx";
import { keyWords } from "../state/actions.ts";
import type { Opened } from "../state/opened.ts";
import { opened } from "../state/shown.ts";
import { resetText } from "./coming.ts";
import { keysOf } from "./controls.ts";
import { drill } from "./settings.ts";
import { firstTomorrow, partNamed, upNext } from "./plan.ts";
import { chosenKey, chosenParts, JOINS, mixed } from "./choice.ts";
import { choose } from "./comingRound.ts";
import { perform, startOrStop } from "./session.ts";
import { running, tallies, tempoOf } from "./rounds.ts";
import { weakestText } from "./weakestText.ts";

/** So many are shown. */
const SHOWN = 5;

const Key = (props: { command: Parameters<typeof keysOf>[0] }) => (
  <>
    {keysOf(props.command).map((key) => (
      <kbd key={key}>{keyWords(key)}</kbd>
    ))}
  </>
);

/** Of "joins" and a section's id. */
function sectionName({ routine }: Opened, key: string | null): string {
  const id = key?.split(" ")[1];
  return routine.sections.find((one) => one.id === id)?.name ?? id ?? "";
}

export function Suggestions() {
  const now = opened.value;
  const chosen = chosenParts()[0];
  const all = mixed.value;
  if (now === null) return null;
  return (
    <section class="suggestions" aria-labelledby="next-up">
      <p class="quiet">To practise now</p>
      <h2 class="chosen-part">
        {all
          ? `${chosenKey.value === JOINS ? "All joins" : `Joins of ${sectionName(now, chosenKey.value)}`}, in random order`
          : (chosen?.name ?? "Nothing to practise yet")}
      </h2>
      {chosen === undefined ? (
        <p>Put a phrase into a section first: on the Routine screen.</p>
      ) : (
        <p class="chosen-what">
          {!all &&
            [chosen.where, chosen.join === null ? null : resetText(now, chosen.join)]
              .filter(Boolean)
              .map((words) => `${words}. `)
              .join("")}
          Starts at {tempoOf(chosen)} %, {Math.round((chosen.tempo * tempoOf(chosen)) / 100)} quarters a
          minute.
        </p>
      )}
      <div class="line">
        <button type="button" class="large" disabled={chosen === undefined} onClick={() => startOrStop()}>
          {running.value ? "Stop" : "Start"} <Key command="start" />
        </button>
        <button
          type="button"
          class="large"
          disabled={chosen === undefined}
          onClick={() => withCaution(perform)}
        >
          Run through <kbd>R</kbd>
        </button>
      </div>
      <p class="quiet keys">
        While it plays:{" "}
        {drill.value.heard === "my-fader" && (
          <>
            <Key command="fader" /> your fader,{" "}
          </>
        )}
        <Key command="good" /> it was good, <Key command="bad" /> it went wrong, <Key command="faster" />{" "}
        <Key command="slower" /> tempo, <Key command="next" /> next part, <Key command="on" /> go on at the
        next section of a run.
      </p>
      <h3 id="next-up">
        <Help term="what comes next">Next for you</Help>
      </h3>
      {upNext.value.length === 0 && (
        <p class="quiet">Nothing yet: phrases and joins stand here once they are put in on Routine.</p>
      )}
      <ol class="next-up">
        {upNext.value.slice(0, SHOWN).map(({ key, reason, when }) => {
          const part = partNamed(key);
          if (part === undefined) return null;
          return (
            <li key={key}>
              <button type="button" aria-pressed={chosen?.key === key && !all} onClick={() => choose(key)}>
                {part.name}
              </button>
              <span class="quiet">
                {part.where}. {reason} {when}
              </span>
            </li>
          );
        })}
      </ol>
    </section>
  );
}

/** After a drill: what was reached, where it failed, what to do tomorrow. Large: it is read standing. */
export function Outcome() {
  const done = [...tallies.value.values()].filter(({ good, bad }) => good + bad > 0);
  const now = opened.value;
  if (done.length === 0 || now === null) return null;
  const after = new Map(upNext.value.map((one) => [one.key, one]));
  const first = firstTomorrow();
  return (
    <section class="outcome" aria-label="How it went" role="status">
      {done.map(({ part, good, bad, reached, failedAt }) => {
        const minute = (percent: number): string =>
          `${percent} % (${Math.round((part.tempo * percent) / 100)} a minute)`;
        const weakest = weakestText(part);
        return (
          <p key={part.key}>
            <strong>{part.name}</strong>: {good} of {counted(good + bad, "round")} good.{" "}
            {reached === null ? "None held yet." : `Held at ${minute(reached)}.`}{" "}
            {failedAt === null ? "None failed." : `Failed from ${minute(failedAt)}.`}{" "}
            {weakest !== null && `Weakest: ${weakest}. `}
            <span class="quiet">{after.get(practiceKey(part.of))?.when}</span>
          </p>
        );
      })}
      {first !== undefined && (
        <p>
          Tomorrow: <strong>{first.name}</strong> first.
        </p>
      )}
    </section>
  );
}
