/** One section on the page: drawn only while it is near the window. */
import type { Section } from "../../schemas/routine.ts";
import { playFrom } from "../audio/transport.ts";
import { barUnits } from "../parts/music.ts";
import { memo } from "../parts/memo.ts";
import { NearSection } from "../parts/near.tsx";
import { scrolls, tapped } from "../parts/tapped.ts";
import { contentOf } from "../rows/content.ts";
import { heardIn, rowMetrics } from "../rows/heard.ts";
import { rowHeight } from "../rows/metrics.ts";
import { SectionRows } from "../rows/SectionRows.tsx";
import { heardShown } from "../state/settings.ts";
import { opened, shown } from "../state/shown.ts";
import { chooseAlso, chooseNone, chooseOnly, chooseUpTo, isChosen } from "./chosen.ts";
import { drag, placeUnder, playerUnder } from "./gesture.ts";
import { JoinMarks } from "./JoinMarks.tsx";
import { Joins } from "./Joins.tsx";
import { SpotMark, StretchHandle } from "./Overlay.tsx";
import { LeftOut } from "./LeftOut.tsx";
import { markOf } from "./Problems.tsx";
import { SectionHead } from "./SectionHead.tsx";
import { player, setSpotAt } from "./spot.ts";

/** Pixels of what stands over a section's rows, as long as it was not drawn. */
const HEAD = 80;

interface Props {
  readonly section: Section;
  readonly index: number;
  readonly width: number;
}

/** Pixels that a section takes, as nearly as can be said before it is drawn. @param bars the lead-in's too */
export const guessedHeight = (bars: number): number => HEAD + rowHeight(rowMetrics.value, 1) * bars;

/** An edit elsewhere costs it nothing while it is out of sight. @param leadIn bars that stand before its first */
export const Part = memo(({ section, index, width, leadIn }: Props & { readonly leadIn: number }) => (
  <NearSection
    id={`section-${section.id}`}
    class="part"
    label={section.name ?? section.id}
    guess={guessedHeight(section.bars + leadIn)}
    atOnce={index === 0}
  >
    {() => <Drawn section={section} index={index} width={width} />}
  </NearSection>
));

function Drawn({ section, index, width }: Props) {
  const state = shown.value;
  if (state === null) return null;
  return (
    <>
      <SectionHead section={section} index={index} />
      <Joins section={section.id} />
      <div class="hand-area" onPointerDown={pressed}>
        <SectionRows
          performance={state.performance}
          index={index}
          routine={state.routine}
          width={width}
          atOnce={index === 0}
          metrics={rowMetrics.value}
          heard={heardShown.value ? pictureOf(section, index) : undefined}
          mark={markOf}
          over={(first, count) => [
            <JoinMarks key="joins" {...{ index, width, first, count }} />,
            <LeftOut key="left-out" section={section.id} {...{ index, width, first, count }} />,
          ]}
          chosen={(owner, placement) => isChosen(sectionOf(owner), placement)}
          onNumber={(number) => playFrom(section.id, (number - 1) * barUnits(section.meter))}
          onPlaced={(owner, placement, event) => {
            // A pointer has chosen when it went down; this is a key, or a finger that a screen reader moves.
            if (event.detail === 0) choose(event, { section: sectionOf(owner), index: placement });
          }}
        />
        <StretchHandle section={section.id} index={index} width={width} />
        <SpotMark section={section.id} index={index} width={width} />
      </div>
    </>
  );
}

/** Of the routine as it is, also while something is dragged. */
function pictureOf({ id }: Section, index: number) {
  const now = opened.value;
  const section = now?.routine.sections[index];
  if (now === null || section?.id !== id) return undefined;
  return heardIn(now.name, id, [contentOf(now.performance, index), section, now.routine.rig]);
}

const sectionOf = (owner: number): string => shown.value?.routine.sections[owner]?.id ?? "";

function choose(
  event: { readonly ctrlKey: boolean; readonly metaKey: boolean; readonly shiftKey: boolean },
  one: { readonly section: string; readonly index: number },
): void {
  if (event.ctrlKey || event.metaKey) chooseAlso(one);
  else if (event.shiftKey) chooseUpTo(one);
  else chooseOnly(one);
}

function pressed(event: PointerEvent): void {
  const target = (event.target as Element).closest<HTMLElement>("[data-placed], [data-stretch]");
  if (event.button !== 0) return;
  if (target === null) {
    tapped(event, putSpot);
    return;
  }
  if (target.dataset.stretch !== undefined) {
    drag(event, "stretch", () => {});
    return;
  }
  const [owner, placement] = (target.dataset.placed ?? "").split("/").map(Number);
  const one = { section: sectionOf(owner ?? -1), index: placement ?? -1 };
  // A finger chooses first, and drags what is chosen: going over the rows moves nothing.
  if (scrolls(event) && !isChosen(one.section, one.index)) {
    tapped(event, () => chooseOnly(one));
    return;
  }
  const several = event.ctrlKey || event.metaKey || event.shiftKey;
  if (several || !isChosen(one.section, one.index)) choose(event, one);
  // Several that are chosen are dragged together; let go without having moved, one of them is meant.
  if (!several) drag(event, "move", () => chooseOnly(one));
}

/** An empty place of the rows was clicked. */
function putSpot(event: PointerEvent): void {
  const state = opened.value;
  if (state === null || (event.target as Element).closest("button") !== null) return;
  const at = placeUnder(event);
  if (at === null) return;
  chooseNone();
  player.value = playerUnder(event) ?? player.value;
  setSpotAt(state, at - (at % SIXTEENTH));
}
const SIXTEENTH = barUnits("1/16");
