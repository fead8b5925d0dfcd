/** Fills a gap with chosen phrases so that the last one lands on its end: the best ways first, each tried by ear. */
import { useEffect, useRef, useState } from "preact/hooks";
import { hearDraft, playFrom } from "../audio/transport.ts";
import { playing } from "../audio/player.ts";
import { ChoiceField } from "../parts/Fields.tsx";
import { Help } from "../parts/Help.tsx";
import { counted, stepName, STEPS, unitsOfText } from "../parts/music.ts";
import { Waiting } from "../parts/Waiting.tsx";
import { useActions } from "../state/actions.ts";
import { ask, Sorry } from "../state/connection.ts";
import { noteNames } from "../state/settings.ts";
import { draft, keepDraft, noDraft, opened } from "../state/store.ts";
import type { ServerMessage } from "../../schemas/wire.ts";
import { chooseOnly } from "./chosen.ts";
import { barLines, filling, type Gap, wayText } from "./filling.ts";
import { sectionAt } from "./lying.ts";
import { lengthsOf } from "./moving.ts";

/** How many of the best ways are offered. */
const TOP = 12;
/** How often a phrase must start on a bar line, by a choice's value. */
const ANEW = {
  "0": "anywhere",
  "1": "on every bar line",
  "2": "on every second bar line",
  "4": "on every fourth bar line",
} as const;

/** @param taken what is told when the gap is filled */
export function Landing({ gap, taken }: { gap: Gap; taken: () => void }) {
  const state = opened.value;
  const patterns = (state?.routine.patterns ?? []).filter(
    (pattern) => lengthsOf(pattern).combined <= gap.to - gap.from,
  );
  const [wanted, setWanted] = useState<ReadonlySet<string>>(
    () => new Set(patterns.slice(0, 3).map(({ id }) => id)),
  );
  const [anew, setAnew] = useState<keyof typeof ANEW>("0");
  const [answer, setAnswer] = useState<ServerMessage<"filled"> | string | null>(null);
  const [tried, setTried] = useState<number | null>(null);
  const looking = useRef<AbortController | null>(null);
  const [stopped, setStopped] = useState(false);
  const groups = patterns.filter(({ id }) => wanted.has(id)).map(({ id }) => id);
  const step = STEPS.find((one) => (gap.to - gap.from) % unitsOfText(one) === 0);

  useEffect(() => {
    const control = new AbortController();
    looking.current = control;
    setStopped(false);
    setTried(null);
    setAnswer(null);
    if (state === null || step === undefined || groups.length === 0) return;
    const unit = unitsOfText(step);
    const pins = Number(anew) === 0 ? [] : barLines(gap, Number(anew)).map((at) => (at - gap.from) / unit);
    const question = {
      name: state.name,
      steps: (gap.to - gap.from) / unit,
      step,
      groups,
      pins: pins
        .filter(Number.isInteger)
        .slice(0, 64)
        .map((at) => ({ at })),
      top: TOP,
    };
    ask<"filled">({ type: "fill", ...question }, control.signal).then(
      (filled) => !control.signal.aborted && setAnswer(filled),
      (error: unknown) => {
        if (!(error instanceof Sorry)) throw error;
        if (!control.signal.aborted) setAnswer(error.message);
      },
    );
    return () => control.abort();
  }, [groups.join(), anew, gap.from, gap.to]);
  useEffect(
    () => () => {
      noDraft();
      hearDraft(null);
    },
    [],
  );

  const ways =
    answer === null || typeof answer === "string" ? [] : answer.answer.best.map((way) => way.map(String));
  // A play that begins with the trying hears the draft as soon as it sounds.
  const on = playing.value;
  useEffect(() => {
    const edit = tried === null ? null : filling(gap, ways[tried] ?? []);
    if (on && edit !== null) hearDraft(edit);
  }, [on, tried]);

  useActions(
    "Fill the gap",
    [
      ...ways.flatMap((way, index) => {
        const words = wayText(way, patterns);
        return [
          { id: `try-${index}`, name: `Try ${words}`, keys: [], run: () => tryWay(index) },
          { id: `take-${index}`, name: `Take ${words}`, keys: [], run: () => take(index) },
        ];
      }),
      ...(tried === null ? [] : [{ id: "as-it-was", name: "The gap as it was", keys: [], run: drop }]),
    ],
    [answer, tried, state],
  );
  if (state === null || step === undefined)
    return <p>This gap is no whole number of any step: move what stands before or after it first.</p>;
  function tryWay(index: number): void {
    const edit = filling(gap, ways[index] ?? []);
    if (edit === null || state === null) return;
    setTried(index);
    draft(edit);
    hearDraft(edit);
    const owner = sectionAt(state, gap.from);
    const section = owner === null ? undefined : state.performance.sections[owner];
    if (section !== undefined) playFrom(section.performance.id, gap.from - section.start);
  }
  function take(index: number): void {
    const edit = filling(gap, ways[index] ?? []);
    if (state === null || edit === null || edit.kind !== "add-placements") return;
    keepDraft(edit, "Fill the gap so that it lands");
    hearDraft(null);
    const size = state.routine.sections.find(({ id }) => id === edit.section)?.placements.length ?? 0;
    chooseOnly(...edit.placements.map((_, at) => ({ section: edit.section, index: size + at })));
    taken();
  }
  function drop(): void {
    setTried(null);
    noDraft();
    hearDraft(null);
  }
  return (
    <div>
      <div class="line" role="group" aria-label="Phrases to fill it with">
        <span class="quiet">
          {(gap.to - gap.from) / unitsOfText(step)} × {stepName(step, noteNames.value)}, with
        </span>
        {patterns.map(({ id, name }) => (
          <label key={id} class="field">
            <input
              type="checkbox"
              checked={wanted.has(id)}
              onChange={() => {
                const next = new Set(wanted);
                if (!next.delete(id)) next.add(id);
                setWanted(next);
              }}
            />
            <span>{name ?? id}</span>
          </label>
        ))}
        {patterns.length === 0 && <span>No phrase is as short as this gap.</span>}
        <ChoiceField
          label="A phrase starts"
          value={anew}
          options={Object.entries(ANEW)}
          onValue={(value) => setAnew(value as keyof typeof ANEW)}
        />
      </div>
      <p role="status" class={typeof answer === "string" ? "trouble" : "quiet"}>
        {groups.length === 0
          ? "Choose at least one phrase."
          : answer === null
            ? stopped && "Stopped. Choose other phrases or another start to look again."
            : typeof answer === "string"
              ? answer
              : answer.answer.count === "0"
                ? "These fill it in no way exactly. Add another phrase, or let a phrase start anywhere."
                : `${counted(Number(answer.answer.count), "way")} to fill it${ways.length < Number(answer.answer.count) ? `, the best ${ways.length}` : ""}: fewest changes first.`}
      </p>
      {groups.length > 0 && answer === null && !stopped && (
        <Waiting
          words="Looking for ways to fill it"
          onStop={() => {
            looking.current?.abort();
            setStopped(true);
          }}
        />
      )}
      <ol class="ways">
        {ways.map((way, index) => (
          <li key={way.join()} aria-current={tried === index}>
            <button type="button" aria-pressed={tried === index} onClick={() => tryWay(index)}>
              Try
            </button>
            <button type="button" onClick={() => take(index)}>
              Take
            </button>
            <span>{wayText(way, state.routine.patterns)}</span>
          </li>
        ))}
      </ol>
      {tried !== null && (
        <div class="line">
          <button type="button" onClick={drop}>
            As it was
          </button>
          <span class="quiet">
            The rows show it as a <Help term="draft">draft</Help>.
          </span>
        </div>
      )}
    </div>
  );
}
