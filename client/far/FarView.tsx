/**
 * The view for reading at one to two metres: the bar that is played and the next one, what comes, and nothing else.
 * Letters are 64 pixels: about 17 mm on a screen of 96 pixels an inch, so that capitals take some 20 minutes of arc at
 * two metres, as ISO 9241-303 recommends for ease of reading (its least is 16; cited from memory).
 */
import type { ComponentChildren } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { beatUnits, unitsOfText } from "../parts/music.ts";
import { BarRow } from "../rows/BarRow.tsx";
import { contentOf } from "../rows/content.ts";
import { GUTTER, rowHeight } from "../rows/metrics.ts";
import { placementName, speedOfDegreeUnit } from "../rows/SectionRows.tsx";
import { rowText } from "../rows/words.ts";
import type { Opened } from "../state/opened.ts";
import { opened } from "../state/shown.ts";
import { awake, useAwake } from "./awake.ts";
import { barOf } from "../rehearse/drills.ts";
import { farMetrics, type FarRow } from "./farRows.ts";
import { sameBar, type Seen, seenAt } from "./farSeen.ts";
import { FarBottom, FarTop } from "./FarWords.tsx";
import { following, type Here, hereNow, offBy } from "./here.ts";
import { parts } from "../rehearse/plan.ts";
import { RoundMarks } from "./RoundMarks.tsx";
import { dim } from "../rehearse/settings.ts";

const LABEL = 72;
/** Where buttons stand at the foot (far.css asks the same), and how high a row and a pad above them are, pixels. */
const FINGERS = "(pointer: coarse), (max-width: 900px)";
const BUTTONS = 66;
const PAD = 106;

/** What differs from screen to screen. */
interface Props {
  /** What stands at the top while nothing is played. */
  readonly title: string;
  /** Shown in place of the bars while nothing is played. */
  readonly outcome: ComponentChildren;
  /** At the foot where there are fingers and no keys: so many rows of them on a phone, and pads above them or not. */
  readonly buttons: ComponentChildren;
  readonly rows: number;
  readonly pads: boolean;
  readonly onStop: () => void;
  readonly onLeave: () => void;
}

export function FarView(props: Props) {
  const [seen, setSeen] = useState<Seen | null>(null);
  const [size, setSize] = useState({ width: innerWidth, height: innerHeight });
  const line = useRef<HTMLDivElement>(null);
  const now = opened.value;
  useAwake();
  useEffect(() => {
    const resized = (): void => setSize({ width: innerWidth, height: innerHeight });
    addEventListener("resize", resized);
    return () => removeEventListener("resize", resized);
  }, []);
  // What it covers is not there for keys, fingers and screen readers either.
  useEffect(() => {
    const covered = document.querySelectorAll<HTMLElement>(".head, .foot");
    for (const one of covered) one.inert = true;
    return () => {
      for (const one of covered) one.inert = false;
    };
  }, []);
  const width = Math.max(200, size.width - GUTTER - 40);
  useEffect(() => {
    let last: Seen | null = null;
    let frame = requestAnimationFrame(function look() {
      frame = requestAnimationFrame(look);
      const routine = opened.value;
      const here = hereNow();
      if (routine === null || here === null) {
        last = null;
        setSeen(null);
        return;
      }
      const bar = routine.performance.sections[here.section]!.performance.bar;
      if (last === null || !sameBar(last.here, here, bar) || last.now === null) {
        last = seenAt(routine, here, last);
        setSeen(last);
      }
      moveLine(line.current, here, bar, width, last);
    });
    return () => cancelAnimationFrame(frame);
  }, [width]);
  if (now === null) return null;
  const part = parts.value.find(({ key }) => key === seen?.here.part) ?? null;
  const metrics = metricsFor(size, props);
  const slots =
    seen === null ? [null, null] : seen.slot === 0 ? [seen.now, seen.next] : [seen.next, seen.now];
  return (
    <div class={`far ${dim.value ? "dim" : ""}`} data-following={following() ? "" : undefined}>
      <FarTop now={now} here={seen?.here ?? null} part={part} title={props.title} />
      {seen === null && props.outcome}
      <div class="far-rows" hidden={seen === null}>
        {slots.map((one, slot) => (
          <div
            key={slot}
            class={`far-row ${slot === seen?.slot ? "present" : ""}`}
            style={{ height: `${rowHeight(metrics, 1)}px` }}
          >
            {one !== null && <FarBar now={now} one={one} width={width} metrics={metrics} />}
            {one !== null && seen !== null && goesAgain(seen.here) && (
              <RoundMarks
                part={seen.here.part ?? ""}
                one={one}
                bar={contentOf(now.performance, one.section).bar}
                width={width}
                metrics={metrics}
              />
            )}
          </div>
        ))}
        <div
          ref={line}
          class="far-line"
          hidden
          style={{ height: `${rowHeight(metrics, 1) - metrics.below}px` }}
          data-row={rowHeight(metrics, 1)}
        />
      </div>
      <FarBottom now={now} here={seen?.here ?? null} part={part} />
      {!following() && props.buttons}
      <div class="leave">
        <span class="quiet">
          {awake.value === "no" ? "This browser cannot keep the screen awake" : followText()}
        </span>
        {seen !== null && !following() && (
          <button type="button" class="plain stop" onClick={props.onStop}>
            Stop
          </button>
        )}
        <button type="button" class="plain" onClick={props.onLeave}>
          Leave this view (Esc)
        </button>
      </div>
    </div>
  );
}

/** What is left of the window for two rows: a phone on its side has all words in small type, all buttons in one row. */
function metricsFor(size: { width: number; height: number }, { rows, pads }: Props) {
  if (size.height <= 500) return farMetrics(Math.max(86, Math.floor((size.height - 190) / 2)), 24);
  const wide = size.width >= 700;
  const label = wide ? LABEL : 40;
  const buttons = matchMedia(FINGERS).matches ? (wide ? 1 : rows) * BUTTONS + (pads ? PAD : 0) : 0;
  const height = Math.floor((size.height - buttons - (wide ? 310 : 330)) / 2);
  return farMetrics(Math.max(label + 92, height), label);
}

/** Between two rounds of the same. */
const goesAgain = ({ resting, counting, part, next }: Here): boolean =>
  (resting || counting) && (next === null || next === part);

function moveLine(line: HTMLDivElement | null, here: Here, bar: number, width: number, seen: Seen): void {
  if (line === null) return;
  line.hidden = here.counting || here.resting;
  const part = Math.max(0, here.at / bar - barOf(here.at, bar));
  const top = seen.slot * Number(line.dataset["row"]);
  line.style.transform = `translate(${GUTTER + part * width}px, ${top}px)`;
}

function FarBar({
  now,
  one,
  width,
  metrics,
}: {
  now: Opened;
  one: FarRow;
  width: number;
  metrics: ReturnType<typeof farMetrics>;
}) {
  const section = now.routine.sections[one.section];
  if (section === undefined) return null;
  const { bar, players } = contentOf(now.performance, one.section);
  const name = (owner: number, placement: number): string => placementName(now.routine, owner, placement);
  const text = rowText(one.row, section.meter, name);
  return (
    <BarRow
      row={one.row}
      bar={bar}
      width={width}
      players={players.slice(0, 1)}
      metrics={metrics}
      beat={beatUnits(section.meter)}
      step={unitsOfText("1/16")}
      speedPerDegreeUnit={speedOfDegreeUnit(now.routine, section)}
      meter={section.meter}
      text={text}
      counts={false}
      looks={text}
      beatRests={section.beat !== undefined && (section.beatRests ?? []).includes(one.row.number)}
      name={name}
      mark={() => "plain"}
      chosen={() => false}
    />
  );
}

/** How well a window follows another: the greatest and the middle of the last errors, milliseconds. */
function followText(): string | null {
  if (!following() || offBy.value.length < 5) return null;
  const sorted = offBy.value.map(Math.abs).sort((a, b) => a - b);
  return `Follows the other window within ${Math.max(1, Math.round(sorted[sorted.length >> 1]!))} ms`;
}
