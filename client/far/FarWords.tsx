/** What is written over and under the bars of the view from afar: what is played, what comes, how the round went. */
import { soundTrouble } from "../audio/playing.ts";
import type { Opened } from "../state/opened.ts";
import { pauseDue } from "../rehearse/care.ts";
import { comingAt, resetText } from "../rehearse/coming.ts";
import { shutAtRight, sourceWords } from "../rehearse/controls.ts";
import type { Part } from "../rehearse/drills.ts";
import { FaderSlot } from "../rehearse/FaderSlot.tsx";
import type { Here } from "./here.ts";
import { parts } from "../rehearse/plan.ts";
import { climbs, heardRound, running, tempoOf } from "../rehearse/rounds.ts";
import { bindings, drill } from "../rehearse/settings.ts";
import { recording, taking } from "../recordings/taking.ts";
import { tappedRounds } from "../rehearse/tapping.ts";

interface Props {
  readonly now: Opened;
  readonly here: Here | null;
  readonly part: Part | null;
}

/** Letters that fit beside what else stands on the line, in the largest type, and in the next. */
const [TITLE, LONG_TITLE] = [16, 22];
const LINE = 20;

/** By its length: whether a text takes smaller type, or two lines. */
const fitting = (text: string, large: number, small = large): string =>
  text.length <= large ? "" : text.length <= small ? "long" : "longest";

/** @param title what stands there while nothing is played */
export function FarTop({ now, here, part, title }: Props & { readonly title: string }) {
  const section = here === null ? undefined : now.routine.sections[here.section];
  const name =
    here !== null && here.mode !== "run" && part !== null
      ? part.name
      : (section?.name ?? section?.id ?? now.routine.title);
  if (here === null) {
    const starts = running.value || recording.value === "starting";
    return (
      <div class="far-top">
        <strong class={fitting(title, TITLE, LONG_TITLE)}>{title}</strong>
        <span>{soundTrouble.value ?? (starts ? "Starting…" : "")}</span>
      </div>
    );
  }
  const percent = Math.round(here.speed * 100);
  const tempo = Math.round((part?.tempo ?? 0) * here.speed);
  // A press that makes it faster or slower is seen at once, and heard from the next round on.
  const again = running.value && part !== null && (here.next === null || here.next === part.key);
  const next = again ? tempoOf(part) : percent;
  return (
    <div class="far-top">
      <strong class={fitting(name, TITLE, LONG_TITLE)}>{name}</strong>
      {(here.mode === "drill" || (here.mode === "take" && here.counting)) && (
        <span class="far-tempo">
          {percent} %, {next === percent ? `${tempo} a minute` : `then ${next} %`}
        </span>
      )}
      {here.mode === "take" && !here.counting && (
        <span class="far-tempo recording-now" role="status">
          Recording
        </span>
      )}
    </div>
  );
}

export function FarBottom({ now, here, part }: Props) {
  const rig = now.routine.rig;
  const side = rig?.turntable ?? "left";
  if (here === null) return null;
  const upcoming = parts.value.find(({ key }) => key === here.next) ?? part;
  const climb = part === null ? undefined : climbs.value.get(part.key);
  const fader = drill.value.heard === "my-fader" && here.mode === "drill" && (
    <FaderSlot right={shutAtRight(rig)} />
  );
  if (here.counting || here.resting) {
    const join = (here.resting ? upcoming : part)?.join ?? null;
    const hand = rig?.recordHand ?? "right";
    const tapping = here.mode === "take" ? (taking.value?.tapping ?? null) : null;
    if (tapping !== null)
      return (
        <div class="far-bottom">
          <div class="record-side">
            <strong>
              <Count {...here} />
            </strong>
            <span>{tapping}</span>
          </div>
        </div>
      );
    return (
      <div class={`far-bottom ${side}`}>
        <div class="record-side">
          <strong>{here.counting ? <Count {...here} /> : judgedText()}</strong>
          <span>
            {here.resting
              ? upcoming !== null && upcoming !== part
                ? `Next: ${upcoming.name}`
                : "Bring the record back"
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
              {fader || (
                <>
                  <span>Fader shuts</span>
                  <span>to the {shutAtRight(rig) ? "right" : "left"}</span>
                </>
              )}
              {fader && <span>{bindings.value.fader.map(sourceWords).join(" or ")}: your fader</span>}
            </>
          )}
        </div>
      </div>
    );
  }
  const coming = comingAt(now, here, part);
  const first = coming.words !== null ? `“${coming.words}”` : (coming.next ?? coming.toGo);
  return (
    <div class={`far-bottom ${side}`}>
      <div class="record-side">
        <strong class={fitting(first, LINE)}>{first}</strong>
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

/** "Counting in 3", and which bar of them where there are more. */
function Count({ counted }: Here) {
  if (counted === null) return <>Counting in</>;
  const { beat, bar } = counted;
  return (
    <>
      Counting in{bar !== null && ` ${bar.now} of ${bar.of}`} <span class="count">{beat}</span>
    </>
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
  const score = tappedRounds.value.at(-1)?.score;
  if (score === undefined || drill.value.heard !== "my-fader") return null;
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
