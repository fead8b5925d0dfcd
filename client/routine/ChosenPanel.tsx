/** What is chosen, above the foot: what is worked out about it, what can be done with it, and all its values. */
import { signal } from "@preact/signals";
import { LIMIT_WORDS } from "../facts/limitWords.ts";
import { PlacementMetre } from "../facts/PlacementMetre.tsx";
import { Help } from "../parts/Help.tsx";
import { counted } from "../parts/music.ts";
import { placeText } from "../parts/placeText.ts";
import { goTo } from "../state/place.ts";
import { opened, shown } from "../state/shown.ts";
import { inTurn } from "../state/turn.ts";
import { chooseNone, chosenNow } from "./chosen.ts";
import type { Lying } from "./lying.ts";
import { Mends } from "./Mends.tsx";
import { PlacementForm } from "./PlacementForm.tsx";
import { troublesOf } from "./Problems.tsx";
import { PutIn } from "./PutIn.tsx";
import { again, copyChosen, fillOn, roomAt } from "./putting.ts";
import { namesOf, remove } from "./settle.ts";
import { spot, spotAt } from "./spot.ts";

/** All values are shown, not only what is worked out: the panel stays low, so that it hides few rows. */
export const allValues = signal(false);

export function ChosenPanel() {
  const state = opened.value;
  const these = chosenNow.value;
  const [one] = these;
  if (state === null || one === undefined) return null;
  const single = these.length === 1;
  const end = Math.max(...these.map(({ to }) => to));
  const behind = roomAt(state, end) > 0 ? spotAt(state, end) : null;
  return (
    <aside class="panel" aria-label="What is chosen">
      <div class="line">
        <strong>{single ? namesOf(state, these) : `${these.length} chosen`}</strong>
        {these.some(({ player }) => player !== 1) && (
          <span>{playersText(new Set(these.map(({ player }) => player)))}</span>
        )}
        {single ? <Worked one={one} /> : <span class="quiet">{namesOf(state, these)}</span>}
      </div>
      <div class="line">
        <button type="button" onClick={() => inTurn(again)}>
          Repeat behind it
        </button>
        <button type="button" onClick={() => inTurn(() => fillOn("until-next"))}>
          Fill up to the next
        </button>
        {these.some(({ pattern }) => pattern !== null) && (
          <button type="button" onClick={() => inTurn(() => fillOn("whole-rounds"))}>
            Fill up, whole repeats only
          </button>
        )}
        <button type="button" onClick={() => inTurn(copyChosen)}>
          Copy
        </button>
        <button type="button" onClick={() => inTurn(() => remove(chosenNow.value))}>
          Remove
        </button>
        {single && one.pattern !== null && (
          <button type="button" onClick={() => goTo("write", one.pattern?.id)}>
            Write this phrase
          </button>
        )}
        {single && (
          <button
            type="button"
            aria-expanded={allValues.value}
            onClick={() => {
              allValues.value = !allValues.value;
            }}
          >
            All values
          </button>
        )}
        <button
          type="button"
          class="plain"
          onClick={() => {
            chooseNone();
            spot.value = null;
          }}
        >
          Close
        </button>
      </div>
      {single &&
        troublesOf(one.section, one.index).map((sentence) => (
          <p key={sentence} class="trouble">
            {sentence}
          </p>
        ))}
      {behind !== null && <PutIn says={`Behind it, at ${placeText(state, behind)}:`} />}
      {single && one.pattern !== null && <Mends key={`${one.section} ${one.index}`} one={one} />}
      {single && allValues.value && <PlacementForm one={one} />}
      {single && allValues.value && <PlacementMetre section={one.section} placement={one.index} />}
    </aside>
  );
}

const playersText = (players: ReadonlySet<number>): string =>
  `${players.size === 1 ? "player" : "players"} ${[...players].sort((a, b) => a - b).join(", ")}`;

function Worked({ one }: { one: Lying }) {
  const facts = shown.value?.sectionFacts
    .get(one.section)
    ?.placements.find(({ placement }) => placement === one.index);
  if (facts === undefined) return null;
  return (
    <span class="quiet">
      <Help term="come-round">comes round</Help> after {counted(facts.comeRoundBars, "bar")},{" "}
      {counted(facts.comeRoundRepeats, "repeat")}; <Help term="landing">landing</Help>:{" "}
      {facts.landing.steps === "0" ? "it lands" : `${facts.landing.steps} steps over`}
      {facts.names.length > 0 && `; ${facts.names.join(", ")}`}
      {facts.hands
        .filter(({ within }) => !within)
        .map(({ limit }) => `; beyond your limit: ${LIMIT_WORDS[limit][0]}`)
        .join("")}
    </span>
  );
}
