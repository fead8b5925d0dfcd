/** Phrases to be found: by searching the space of combinations, or by walking from one that is there already. */
import { signal } from "@preact/signals";
import { useEffect, useLayoutEffect, useRef } from "preact/hooks";
import type { Pattern, Routine, Section } from "../../schemas/routine.ts";
import { material, switchAt } from "../audio/material.ts";
import { ChoiceField } from "../parts/Fields.tsx";
import { Help } from "../parts/Help.tsx";
import { useWidth } from "../parts/width.ts";
import { useActions } from "../state/actions.ts";
import { goTo } from "../state/place.ts";
import { noDraft } from "../state/draft.ts";
import { opened, shown } from "../state/shown.ts";
import { lender } from "../write/phraseList.ts";
import { homeOf, tempoOf } from "../write/phrase.ts";
import { CandidateInHand } from "./CandidateInHand.tsx";
import { type Candidate, PAGE } from "./candidates.ts";
import { chosen, keep, kept, keptAs, show } from "./choosing.ts";
import { askForNoMore, FindForm } from "./FindForm.tsx";
import { FIND } from "./findPlace.ts";
import { Progress } from "./Progress.tsx";
import { Results } from "./Results.tsx";
import { cancel, leave, look, lookAround, search, wish } from "./search.ts";

/** Side by side where there is room. */
const TWO_COLUMNS = 860;
const NUMBER = 48;

/** The phrase that is walked from, where it is no phrase of the routine; null: see the address. */
const walkedTo = signal<Pattern | null>(null);

/** The section that lends metre, tempo and beat: where the phrase is played, otherwise the first that has a beat. */
const homeFor = (routine: Routine, from: string | null): Section =>
  from !== null
    ? homeOf(routine, from)
    : (routine.sections.find(({ beat }) => beat !== undefined) ?? routine.sections[0]!);

/** @param from id of the phrase whose neighbours are listed; null: the space of combinations */
export function FindScreen(props: { from: string | null }) {
  const ref = useRef<HTMLDivElement>(null);
  const full = useWidth(ref);
  const now = opened.value;
  const routine = now?.routine;
  const home: Section | undefined =
    routine?.sections.find(({ id }) => id === lender.value) ??
    (routine === undefined ? undefined : homeFor(routine, props.from));
  const around = walkedTo.value ?? routine?.patterns.find(({ id }) => id === props.from) ?? null;
  const meter = home?.meter ?? "4/4";
  const state = search.value;
  const candidates: readonly Candidate[] = state.kind === "done" ? state.candidates : [];
  const at = Math.min(chosen.value, Math.max(0, candidates.length - 1));
  const one = candidates[at];
  const walking = around !== null && (props.from !== null || walkedTo.value !== null);

  useEffect(() => {
    chosen.value = 0;
    kept.value = new Map();
    if (routine === undefined) return;
    if (walking) void lookAround(around, meter);
    else void look(routine, meter);
  }, [walking ? around : wish.value, meter, routine === undefined]);
  useEffect(() => {
    if (routine !== undefined && home !== undefined && candidates.length > 0)
      show(routine, home, candidates, at);
  }, [candidates, at, now?.rev, home]);
  // The button that led here would take Enter for itself.
  useEffect(() => ref.current?.focus({ preventScroll: true }), []);
  // As it leaves, not after what takes its place has drafted and sounded its own.
  useLayoutEffect(() => {
    switchAt.value = "bar";
    return () => {
      switchAt.value = "now";
      walkedTo.value = null;
      material.value = null;
      leave();
      noDraft();
    };
  }, []);
  useEffect(() => {
    walkedTo.value = null;
  }, [props.from]);

  const go = (by: number) => (): void => {
    if (candidates.length > 0) chosen.value = Math.min(candidates.length - 1, Math.max(0, at + by));
  };
  const keepIt = (): void => {
    if (one !== undefined) keep(one);
  };
  const searchAll = (): void => {
    walkedTo.value = null;
    goTo("write", FIND);
  };
  const walk = (): void => {
    if (one !== undefined) walkedTo.value = one.pattern;
  };
  useActions(
    "Find a phrase",
    [
      { id: "f-next", name: "To the next phrase", keys: ["ArrowDown", "ArrowRight"], run: go(1) },
      { id: "f-before", name: "To the phrase before", keys: ["ArrowUp", "ArrowLeft"], run: go(-1) },
      { id: "f-keep", name: "Keep the phrase in hand", keys: ["Enter"], run: keepIt },
      { id: "f-walk", name: "List phrases one change away", keys: ["w"], run: walk },
      ...(walking
        ? [{ id: "f-all", name: "Find among all combinations", keys: [], run: searchAll }]
        : [{ id: "f-plain", name: "Ask for nothing more", keys: [], run: askForNoMore }]),
      ...(state.kind === "large"
        ? [{ id: "f-go", name: "Go through all of them", keys: [], run: state.start }]
        : []),
      { id: "f-page", name: `The next ${PAGE} phrases`, keys: ["PageDown"], run: go(PAGE) },
      { id: "f-page-back", name: `The ${PAGE} phrases before`, keys: ["PageUp"], run: go(-PAGE) },
      { id: "f-cancel", name: "End the search", keys: ["Escape"], run: cancel },
    ],
    [candidates, at, routine, walking, state.kind],
  );

  if (routine === undefined || home === undefined) return <div ref={ref} tabIndex={-1} />;
  const two = full >= TWO_COLUMNS;
  const column = two ? Math.floor((full - 24) * 0.55) : full;
  return (
    <div ref={ref} class="write" tabIndex={-1}>
      {walking ? (
        <p>
          <Help term="neighbours">One change away</Help> from <strong>{around.name ?? around.id}</strong>, the
          easiest first.{" "}
          <button type="button" onClick={searchAll}>
            Find among all combinations
          </button>
        </p>
      ) : (
        <FindForm />
      )}
      <div class="line">
        <ChoiceField
          label="Heard and counted as in"
          value={home.id}
          options={routine.sections.map((section) => [
            section.id,
            `${section.name ?? section.id}: ${section.meter}, ${tempoOf(section)}`,
          ])}
          onValue={(id) => {
            lender.value = id;
          }}
        />
        <Progress state={state} />
      </div>
      {one !== undefined && (
        <>
          <p class="quiet">
            Play, and go through them with the arrow keys or by their numbers: each is heard in a loop from
            the next bar on. Enter, or Keep it, makes the one in hand a phrase of the routine.
          </p>
          <div class={two ? "find-columns" : ""}>
            <Results
              state={shown.value}
              candidates={candidates}
              width={Math.max(160, column - NUMBER - 24)}
              onKeep={two ? undefined : keepIt}
            />
            <CandidateInHand
              state={shown.value}
              one={one}
              width={two ? full - 24 - column : full}
              keptAs={keptAs(one)}
              onKeep={keepIt}
              onWalk={walk}
            />
          </div>
        </>
      )}
    </div>
  );
}
