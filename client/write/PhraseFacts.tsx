/** What is worked out about the phrase in hand, beside it while it is written. */
import type { ComponentChildren } from "preact";
import type { HandFigure, PatternFacts, PlacementFacts } from "../../schemas/facts.ts";
import { LIMIT_WORDS } from "../facts/limitWords.ts";
import { Help, type Term } from "../parts/Help.tsx";
import { counted, countText, hoursText, tidy, unitsOfText } from "../parts/music.ts";
import { setUpOpen } from "../setup/SetUp.tsx";
import { MOST_BARS } from "./phrase.ts";

/** As many starts of repeats are written out. */
const MOST_STARTS = 16;

function Fact(props: { term: Term; name?: string; children: ComponentChildren }) {
  return (
    <div>
      <dt>
        <Help term={props.term}>{props.name ?? props.term}</Help>
      </dt>
      <dd>{props.children}</dd>
    </div>
  );
}

/**
 * @param placed the phrase by itself from the first beat of a bar, at the tempo of where it is played
 * @param bars until the phrase starts on the bar again; @param beat units in a beat of the metre
 */
export function PhraseFacts(props: {
  facts: PatternFacts;
  placed: PlacementFacts | undefined;
  bars: number;
  beat: number;
  tempo: number;
}) {
  const { facts, placed, bars, beat } = props;
  const starts = placed?.repeatStarts ?? [];
  const named = placed?.names ?? facts.names;
  return (
    <dl class="phrase-facts">
      <Fact term="combined length" name="Combined length">
        {facts.combinedSteps} steps
      </Fact>
      <Fact term="come-round" name="Comes round">
        after {counted(bars, "bar")}
        {placed !== undefined && `, ${counted(placed.comeRoundRepeats, "repeat")}`}
        {placed?.comeRoundWithBeatBars != null &&
          placed.comeRoundWithBeatBars !== placed.comeRoundBars &&
          `; with the beat after ${counted(placed.comeRoundWithBeatBars, "bar")}`}
        {bars > MOST_BARS && `; the first ${MOST_BARS} are shown`}
        {starts.length > 1 &&
          `. Repeats start at ${starts
            .slice(0, MOST_STARTS)
            .map((start) => countText(unitsOfText(start), beat))
            .join(", ")}${starts.length > MOST_STARTS ? " …" : ""}`}
      </Fact>
      <Fact term="heard" name="Heard">
        {[counted(facts.sounds, "sound"), ...facts.described].join(", ")}
      </Fact>
      {named.length > 0 && (
        <Fact term="names" name="Called">
          {named.join(", ")}
        </Fact>
      )}
      <Fact term="mirror" name="Mirrored">
        {facts.mirrored ? "yes" : "no"}
      </Fact>
      <Fact term="drift" name="Drift">
        {facts.driftDegrees === null
          ? "depends on the tempo"
          : `${hoursText(facts.driftDegrees)} a record cycle`}
      </Fact>
      <Fact term="playability" name="Your limits">
        {placed === undefined || placed.hands.length === 0 ? (
          "nothing to hold against them"
        ) : (
          <>
            <Verdict figures={placed.hands} tempo={props.tempo} />
            <details>
              <summary>Each limit</summary>
              <button
                type="button"
                onClick={() => {
                  setUpOpen.value = true;
                }}
              >
                Set your limits
              </button>
              <ul>
                {placed.hands.map((figure) => (
                  <li key={figure.limit} class={figure.within ? "" : "trouble"}>
                    {figureText(figure)}
                  </li>
                ))}
              </ul>
            </details>
          </>
        )}
      </Fact>
    </dl>
  );
}

function figureText({ limit, value, allowed, within, reachedAtTempo }: HandFigure): string {
  const [words, unit] = LIMIT_WORDS[limit];
  return `${words}: ${tidy(value, 1)} ${within ? "of" : "where your limit is"} ${tidy(allowed, 1)}${unit}, reached at ${Math.round(reachedAtTempo)} quarters a minute`;
}

/** The limit that is reached first. */
function Verdict(props: { figures: readonly HandFigure[]; tempo: number }) {
  const { figures, tempo } = props;
  const first = figures.reduce((a, b) => (b.reachedAtTempo < a.reachedAtTempo ? b : a));
  const [words] = LIMIT_WORDS[first.limit];
  const broken = figures.filter(({ within }) => !within).length;
  return broken === 0 ? (
    <span>
      within them at {tidy(tempo, 1)}; the first to be reached: {words}, at {Math.round(first.reachedAtTempo)}
    </span>
  ) : (
    <span class="trouble">
      beyond {counted(broken, "limit")} at {tidy(tempo, 1)}: {words} from {Math.round(first.reachedAtTempo)}{" "}
      on
    </span>
  );
}
