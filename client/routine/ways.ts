/** The ways to fill a gap with phrases, as the server finds them; asked anew when the gap or the phrases change. */
import { useEffect, useRef, useState } from "preact/hooks";
import type { ServerMessage } from "../../schemas/wire.ts";
import { STEPS, unitsOfText } from "../parts/music.ts";
import { ask, Sorry } from "../state/connection.ts";
import { opened } from "../state/shown.ts";
import { barLines, type Gap } from "./filling.ts";

/** How many of the best ways are offered. */
const TOP = 12;
/** Pins that the server takes. */
const MOST_PINS = 64;

/** The longest step that so many units are a whole number of; undefined where there is none. */
export const stepOf = (units: number): string | undefined =>
  STEPS.find((one) => units % unitsOfText(one) === 0);

export interface Ways {
  /** A sentence where it could not be done; null while it is looked for, or where nothing is asked. */
  readonly answer: ServerMessage<"filled">["answer"] | string | null;
  readonly stopped: boolean;
  stop(): void;
}

/**
 * @param groups ids of the phrases; none: nothing is asked
 * @param every a phrase starts on every so-manieth bar line; 0: anywhere
 */
export function useWays(gap: Gap, groups: readonly string[], every: number): Ways {
  const [answer, setAnswer] = useState<Ways["answer"]>(null);
  const [stopped, setStopped] = useState(false);
  const looking = useRef<AbortController | null>(null);
  useEffect(() => {
    const control = new AbortController();
    looking.current = control;
    setStopped(false);
    setAnswer(null);
    const name = opened.value?.name;
    const step = stepOf(gap.to - gap.from);
    if (name === undefined || step === undefined || groups.length === 0) return;
    const unit = unitsOfText(step);
    const pins = every === 0 ? [] : barLines(gap, every).map((at) => (at - gap.from) / unit);
    const question = {
      name,
      steps: (gap.to - gap.from) / unit,
      step,
      groups: [...groups],
      pins: pins
        .filter(Number.isInteger)
        .slice(0, MOST_PINS)
        .map((at) => ({ at })),
      top: TOP,
    };
    ask<"filled">({ type: "fill", ...question }, control.signal).then(
      (filled) => !control.signal.aborted && setAnswer(filled.answer),
      (error: unknown) => {
        if (!(error instanceof Sorry)) throw error;
        if (!control.signal.aborted) setAnswer(error.message);
      },
    );
    return () => control.abort();
  }, [groups.join(), every, gap.from, gap.to]);
  return {
    answer,
    stopped,
    stop() {
      looking.current?.abort();
      setStopped(true);
    },
  };
}
