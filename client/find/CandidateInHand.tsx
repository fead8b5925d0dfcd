/** The candidate in hand, larger: the staircase until it comes round, with the playhead, and its metre. */
import { ALONE } from "../audio/follow.ts";
import { MetrePanel } from "../facts/MetrePanel.tsx";
import { beatUnits, counted } from "../parts/music.ts";
import { GUTTER } from "../rows/metrics.ts";
import { SectionRows } from "../rows/SectionRows.tsx";
import type { Opened } from "../state/opened.ts";
import { ALONE_ID } from "../write/phrase.ts";
import { addressOf } from "../state/place.ts";
import type { Candidate } from "./candidates.ts";
import type { Kept } from "./choosing.ts";
import { SMALL } from "./small.ts";

const wordsOf = (items: readonly string[]): string => items.join(", ");

export function CandidateInHand(props: {
  state: Opened | null;
  one: Candidate;
  width: number;
  /** The phrase that it was kept as. */
  keptAs: Kept | undefined;
  onKeep: () => void;
  onWalk: () => void;
}) {
  const { state, one, width, keptAs } = props;
  const index = state?.performance.sections.findIndex(({ performance }) => performance.id === ALONE_ID) ?? -1;
  const meter = state?.routine.sections[index]?.meter ?? "4/4";
  const { strokes } = one.pattern.record;
  const { cells } = one.pattern.fader;
  return (
    <section class="in-hand" aria-label="The phrase in hand">
      <p>
        <strong>Record hand</strong>{" "}
        {wordsOf(
          strokes.map(({ move, travel }) => (travel === undefined ? move : `${move} ${Math.round(travel)}°`)),
        )}
        <br />
        <strong>Fader hand</strong> {wordsOf(cells.map(({ fader }) => fader))}
      </p>
      <div class="line">
        {keptAs === undefined ? (
          <button type="button" onClick={props.onKeep}>
            Keep it
          </button>
        ) : (
          <a href={addressOf("write", keptAs.id)}>Write on at {keptAs.name}</a>
        )}
        <button type="button" onClick={props.onWalk}>
          One change away from it
        </button>
        <span class="quiet">{counted(one.comeRoundBars, "bar")} until it comes round</span>
      </div>
      {state !== null && index >= 0 && (
        <>
          <div
            class="in-hand-rows"
            role="group"
            aria-label="Its bars until it comes round"
            // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls has to be reached by keyboard
            tabIndex={0}
            data-rolls
          >
            <SectionRows
              stackId={ALONE}
              performance={state.performance}
              index={index}
              routine={state.routine}
              width={Math.max(120, width - GUTTER - 4)}
              metrics={SMALL}
            />
          </div>
          <MetrePanel
            metre={state.sectionFacts.get(ALONE_ID)?.placements[0]?.metre ?? null}
            beat={beatUnits(meter)}
          />
        </>
      )}
    </section>
  );
}
