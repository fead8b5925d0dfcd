/** Fills a gap with chosen phrases so that the last one lands on its end: the best ways first, each tried by ear. */
import type { Pattern } from "../../schemas/routine.ts";
import { useEffect, useState } from "preact/hooks";
import { hearDraft, playFrom } from "../audio/transport.ts";
import { playing } from "../audio/playing.ts";
import { ChoiceField, TickField } from "../parts/Fields.tsx";
import { Help } from "../parts/Help.tsx";
import { Waiting } from "../parts/Waiting.tsx";
import { useActions } from "../state/actions.ts";
import { draft, keepDraft, noDraft } from "../state/draft.ts";
import { opened } from "../state/shown.ts";
import { chooseOnly } from "./chosen.ts";
import { filling, type Gap, wayText } from "./filling.ts";
import { foundText, lengthText, NoWay } from "./LandingWords.tsx";
import { sectionAt } from "./lying.ts";
import { lengthsOf } from "./moving.ts";
import { setSpotAt } from "./spot.ts";
import { stepOf, useWays } from "./ways.ts";

/** How often a phrase must start on a bar line, by a choice's value. */
const ANEW = {
  "0": "anywhere",
  "1": "on every bar line",
  "2": "on every second bar line",
  "4": "on every fourth bar line",
} as const;

/** What is focused where the keyboard led here. */
export const LANDING = "landing";

/** @param taken what is told when the gap is filled */
export function Landing({ gap: whole, taken }: { gap: Gap; taken: () => void }) {
  const state = opened.value;
  const patterns = (state?.routine.patterns ?? []).filter(
    (pattern) => lengthsOf(pattern).combined <= whole.to - whole.from,
  );
  const [wanted, setWanted] = useState<ReadonlySet<string>>(
    () => new Set(patterns.slice(0, 3).map(({ id }) => id)),
  );
  const [anew, setAnew] = useState<keyof typeof ANEW>("0");
  // Units at the beginning of the gap that stay empty.
  const [empty, setEmpty] = useState(0);
  const [tried, setTried] = useState<number | null>(null);
  const gap = { from: whole.from + empty, to: whole.to };
  const chosen = patterns.filter(({ id }) => wanted.has(id));
  const groups = chosen.map(({ id }) => id);
  const { answer, stopped, stop } = useWays(gap, groups, Number(anew));
  useEffect(() => setTried(null), [answer]);
  useEffect(
    () => () => {
      noDraft();
      hearDraft(null);
    },
    [],
  );

  const found = answer === null || typeof answer === "string" ? null : answer;
  const ways = (found?.best ?? []).map((way) => way.map(String));
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
  if (state === null || stepOf(whole.to - whole.from) === undefined)
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
    setSpotAt(state, gap.to);
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
    <div id={LANDING} class="landing" tabIndex={-1} role="group" aria-label="Fill the gap">
      <div class="line" role="group" aria-label="Phrases to fill it with">
        <span class="quiet">The gap is {lengthText(whole.to - whole.from)} long. Fill it with</span>
        {patterns.map(({ id, name }) => (
          <TickField
            key={id}
            label={name ?? id}
            value={wanted.has(id)}
            onValue={() => {
              const next = new Set(wanted);
              if (!next.delete(id)) next.add(id);
              setWanted(next);
              setEmpty(0);
            }}
          />
        ))}
        {patterns.length === 0 && <span>No phrase is as short as this gap.</span>}
        <ChoiceField
          label="A phrase starts"
          value={anew}
          options={Object.entries(ANEW)}
          onValue={(value) => setAnew(value as keyof typeof ANEW)}
        />
      </div>
      {empty > 0 && (
        <div class="line">
          <span>It begins {lengthText(empty)} later.</span>
          <button type="button" onClick={() => setEmpty(0)}>
            Fill all of it
          </button>
        </div>
      )}
      <p role="status" class={typeof answer === "string" ? "trouble" : "quiet"}>
        {chosen.length === 0
          ? "Choose at least one phrase."
          : found !== null
            ? foundText(found.count, ways.length, anew === "0")
            : typeof answer === "string"
              ? answer
              : stopped && "Stopped. Choose other phrases or another start to look again."}
      </p>
      {found?.count === "0" && <NoWay gap={gap} lengths={chosen.map(combinedOf)} onEmpty={setEmpty} />}
      {chosen.length > 0 && answer === null && !stopped && (
        <Waiting words="Looking for ways to fill it" onStop={stop} />
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
      {ways.length > 0 && (
        <div class="line">
          <button type="button" disabled={tried === null} onClick={drop}>
            As it was
          </button>
          <span class="quiet">
            {tried === null ? "What you try is heard, and the rows show" : "The rows show"} it as a{" "}
            <Help term="draft">draft</Help>.
          </span>
        </div>
      )}
    </div>
  );
}

const combinedOf = (pattern: Pattern): number => lengthsOf(pattern).combined;
