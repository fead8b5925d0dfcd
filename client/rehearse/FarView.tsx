/**
 * The view for reading at one to two metres: the bar that is played and the next one, what comes, and nothing else.
 * Letters are 64 pixels: about 17 mm on a screen of 96 pixels an inch, so that capitals take some 20 minutes of arc at
 * two metres, as ISO 9241-303 recommends for ease of reading (its least is 16; cited from memory).
 */
import { useEffect, useRef, useState } from "preact/hooks";
import { soundTrouble } from "../audio/player.ts";
import { keyWords } from "../state/actions.ts";
import { beatUnits, unitsOfText } from "../parts/music.ts";
import { BarRow } from "../rows/BarRow.tsx";
import { contentOf } from "../rows/content.ts";
import { GUTTER, rowHeight } from "../rows/metrics.ts";
import { placementName, speedOfDegreeUnit } from "../rows/SectionRows.tsx";
import { rowText } from "../rows/words.ts";
import type { Opened } from "../state/opened.ts";
import { opened } from "../state/store.ts";
import { pauseDue } from "./care.ts";
import { comingAt, resetText } from "./coming.ts";
import { faderOpen, keysOf, shutAtRight, sourceWords } from "./controls.ts";
import { barOf, type Part } from "./drills.ts";
import { farMetrics, type FarRow, rowAfter, rowOf } from "./farRows.ts";
import { following, type Here, hereNow, offBy } from "./here.ts";
import { firstTomorrow, parts } from "./plan.ts";
import { chosenParts, climbs, heardRound, running, tallies } from "./session.ts";
import { bindings, dim, drill } from "./settings.ts";
import { awake, useAwake } from "./awake.ts";
import { lastScore } from "./tapping.ts";

const LABEL = 72;

/** What is drawn: changes with each bar, not with each frame. */
interface Seen {
  readonly here: Here;
  readonly now: FarRow | null;
  readonly next: FarRow | null;
  /** The slot, 0 or 1, in which the present bar stands: rows take turns, so that none moves under the eye. */
  readonly slot: 0 | 1;
}

const sameBar = (a: Here, b: Here, bar: number): boolean =>
  a.section === b.section &&
  barOf(a.at, bar) === barOf(b.at, bar) &&
  a.counting === b.counting &&
  a.resting === b.resting &&
  a.part === b.part &&
  a.next === b.next &&
  a.speed === b.speed;

export function FarView(props: { onLeave: () => void }) {
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
  const tall = size.width >= 700;
  const label = tall ? LABEL : 40;
  const height = Math.max(110, Math.floor((size.height - (tall ? 310 : 330)) / 2));
  const metrics = farMetrics(height, label);
  const slots =
    seen === null ? [null, null] : seen.slot === 0 ? [seen.now, seen.next] : [seen.next, seen.now];
  return (
    <div class={`far ${dim.value ? "dim" : ""}`} data-following={following() ? "" : undefined}>
      <Top now={now} here={seen?.here ?? null} part={part} />
      {seen === null && <FarOutcome />}
      <div class="far-rows" hidden={seen === null}>
        {slots.map((one, slot) => (
          <div
            key={slot}
            class={`far-row ${slot === seen?.slot ? "present" : ""}`}
            style={{ height: `${rowHeight(metrics, 1)}px` }}
          >
            {one !== null && <FarBar now={now} one={one} width={width} metrics={metrics} />}
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
      <Bottom now={now} here={seen?.here ?? null} part={part} />
      <div class="leave">
        <span class="quiet">
          {awake.value === "no" ? "This browser cannot keep the screen awake" : followText()}
        </span>
        <button type="button" class="plain" onClick={props.onLeave}>
          Leave this view (Esc)
        </button>
      </div>
    </div>
  );
}

function seenAt({ performance }: Opened, here: Here, last: Seen | null): Seen {
  const part = parts.value.find(({ key }) => key === here.part);
  const range = here.mode === "drill" ? (part?.range ?? null) : null;
  const upcoming = parts.value.find(({ key }) => key === here.next)?.range ?? range;
  // While it rests, the first bar of the round to come is what matters.
  const at = here.resting && upcoming !== null ? upcoming.from : null;
  const section =
    at === null ? here.section : performance.sections.findIndex((one) => one.performance.id === at.section);
  const start = at?.at ?? here.at;
  const now = rowOf(performance, section, start);
  const after = rowAfter(performance, section, start, at === null ? range : upcoming);
  // At the end of a round comes the first bar of the next part.
  const ends =
    range !== null &&
    at === null &&
    after?.row.number ===
      rowOf(
        performance,
        performance.sections.findIndex((one) => one.performance.id === range.from.section),
        range.from.at,
      )?.row.number;
  const next =
    ends && upcoming !== null
      ? rowOf(
          performance,
          performance.sections.findIndex((one) => one.performance.id === upcoming.from.section),
          upcoming.from.at,
        )
      : after;
  const same = (a: FarRow | null | undefined, b: FarRow | null): boolean =>
    a?.row === b?.row && a?.section === b?.section;
  const stays = last !== null && same(last.now, now);
  const turns = last !== null && !stays && same(last.next, now);
  const slot = last === null ? 0 : turns ? ((1 - last.slot) as 0 | 1) : last.slot;
  return { here, now, next, slot };
}

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

function Top({ now, here, part }: { now: Opened; here: Here | null; part: Part | null }) {
  const section = here === null ? undefined : now.routine.sections[here.section];
  const name =
    here?.mode === "drill" && part !== null ? part.name : (section?.name ?? section?.id ?? now.routine.title);
  const only = tallies.value.size === 1 ? [...tallies.value.values()][0]?.part.name : undefined;
  if (here === null)
    return (
      <div class="far-top">
        <strong>{only ?? name}</strong>
        <span>{soundTrouble.value ?? (running.value ? "Starting…" : "")}</span>
      </div>
    );
  const percent = Math.round(here.speed * 100);
  const tempo = Math.round((part?.tempo ?? 0) * here.speed);
  return (
    <div class="far-top">
      <strong>{name}</strong>
      {here.mode === "drill" && (
        <span class="far-tempo">
          {percent} %, {tempo} a minute
        </span>
      )}
    </div>
  );
}

function Bottom({ now, here, part }: { now: Opened; here: Here | null; part: Part | null }) {
  const rig = now.routine.rig;
  const side = rig?.turntable ?? "left";
  if (here === null) return <div class="far-bottom" />;
  const upcoming = parts.value.find(({ key }) => key === here.next) ?? part;
  const shuts = `The fader shuts to the ${shutAtRight(rig) ? "right" : "left"}`;
  const climb = part === null ? undefined : climbs.value.get(part.key);
  const fader = drill.value.heard === "my-fader" && here.mode === "drill" && (
    <FaderSlot right={shutAtRight(rig)} />
  );
  if (here.counting || here.resting) {
    const join = (here.resting ? upcoming : part)?.join ?? null;
    const hand = rig?.recordHand ?? "right";
    return (
      <div class={`far-bottom ${side}`}>
        <div class="record-side">
          <strong>{here.counting ? "Counting in" : judgedText()}</strong>
          <span>
            {here.resting
              ? `Bring the record back${upcoming !== null && upcoming !== part ? `. Next: ${upcoming.name}` : ""}`
              : join !== null
                ? resetText(now, join)
                : `${hand === "right" ? "Right" : "Left"} hand on the record`}
          </span>
        </div>
        <div class="fader-side">
          {here.resting ? (
            <>
              <span>{scoreText()}</span>
              <span>{pauseDue.value === null ? goodText(climb?.good, climb?.bad) : "Time for a pause"}</span>
            </>
          ) : (
            <>
              {fader || <span>{shuts}</span>}
              {fader && <span>{bindings.value.fader.map(sourceWords).join(" or ")}: your fader</span>}
            </>
          )}
        </div>
      </div>
    );
  }
  const coming = comingAt(now, here, part);
  return (
    <div class={`far-bottom ${side}`}>
      <div class="record-side">
        <strong>{coming.words !== null ? `“${coming.words}”` : (coming.next ?? coming.toGo)}</strong>
        <span>{coming.words !== null ? coming.next : coming.reset}</span>
      </div>
      <div class="fader-side">
        {fader}
        <span>{coming.next === null && coming.words === null ? "" : coming.toGo}</span>
        {coming.left !== null && <strong>{coming.left}</strong>}
      </div>
    </div>
  );
}

/** What the round that is over was said to be; by another window's keys, that is not known here. */
function judgedText(): string {
  const judged = heardRound.value?.judged;
  if (judged === "good") return "Good";
  if (judged === "bad") return "It went wrong";
  return running.value ? "Was it good?" : "Resting";
}

/** How the taps of the round lay: "9 of 11 met, 12 ms late". */
function scoreText(): string | null {
  const score = lastScore.value;
  if (score === null || drill.value.heard !== "my-fader") return null;
  const mean = score.meanMs === null ? 0 : Math.round(score.meanMs);
  const off = mean === 0 ? "" : `, ${Math.abs(mean)} ms ${mean > 0 ? "late" : "early"}`;
  return `${score.matched} of ${score.expected} met${off}`;
}

function goodText(good = 0, bad = 0): string {
  const { climbs: on, climb } = drill.value;
  if (!on) return "";
  return bad > 0
    ? `${bad} of ${climb.downAfter} wrong, then slower`
    : `${good} of ${climb.upAfter} good, then faster`;
}

/** After a drill: what held, what failed, what comes tomorrow. */
function FarOutcome() {
  if (running.value) return null;
  const done = [...tallies.value.values()].filter(({ good, bad }) => good + bad > 0);
  const tomorrow = firstTomorrow();
  if (done.length === 0)
    return (
      <div class="far-outcome">
        <p>Nothing is played yet.</p>
        <p>
          <kbd>{keyWords(keysOf("start")[0] ?? "")}</kbd> starts: {chosenParts()[0]?.name}
        </p>
      </div>
    );
  return (
    <div class="far-outcome" role="status">
      {done.slice(0, 3).map(({ part, reached, failedAt }) => (
        <div key={part.key}>
          {done.length > 1 && <p>{part.name}</p>}
          <p>
            <strong>{reached === null ? "Not held yet" : `Held at ${reached} %`}</strong>
            {reached !== null && `, ${Math.round((part.tempo * reached) / 100)} a minute`}
          </p>
          <p>
            {failedAt === null
              ? "None failed"
              : `Failed from ${failedAt} %, ${Math.round((part.tempo * failedAt) / 100)} a minute`}
          </p>
        </div>
      ))}
      {tomorrow !== undefined && <p>Tomorrow: {tomorrow.name}</p>}
      {pauseDue.value !== null && <p>Time for a pause</p>}
      <p>
        <kbd>{keyWords(keysOf("start")[0] ?? "")}</kbd> plays it again
      </p>
    </div>
  );
}

/** The fader as the hand sees it: its shut end on the side where it is. */
function FaderSlot({ right }: { right: boolean }) {
  const open = faderOpen.value === true;
  const atRight = open !== right;
  return (
    <div
      class={`slot ${right ? "shut-right" : "shut-left"}`}
      role="img"
      aria-label={open ? "Your fader is open" : "Your fader is closed"}
    >
      <div class={`thumb ${atRight ? "right" : "left"} ${open ? "open" : ""}`} />
    </div>
  );
}

/** How well a window follows another: the greatest and the middle of the last errors, milliseconds. */
function followText(): string | null {
  if (!following() || offBy.value.length < 5) return null;
  const sorted = offBy.value.map(Math.abs).sort((a, b) => a - b);
  return `Follows the other window within ${Math.max(1, Math.round(sorted[sorted.length >> 1]!))} ms`;
}
