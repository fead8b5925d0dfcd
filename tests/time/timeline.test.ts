/** Seconds between two positions: what the hands' facts and the curves of clips go by. */
import { expect, test } from "vitest";
import type { Performance } from "../../schemas/performance.ts";
import { UNITS_PER_QUARTER, type Units } from "../../schemas/units.ts";
import { clockOf } from "../../server/facts/clock.ts";
import { compile } from "../../server/routine/compile.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { type Span, timelineOf } from "../../server/time/timeline.ts";

// The demo has ramps and swing; here a bar comes before it.
const TEMPO = DEMO.sections[0]!.tempo as number;
const leadIn = (4 * UNITS_PER_QUARTER) as Units;
const spans: readonly Span[] = compile(DEMO).sections.map(({ start, end, startSeconds }) => ({
  start: (leadIn + start) as Units,
  end: (leadIn + end) as Units,
  startSeconds: ((4 * 60) / TEMPO + startSeconds) as Span["startSeconds"],
}));
const timeline = timelineOf(DEMO.sections, spans);
const SIXTEENTH = UNITS_PER_QUARTER / 4;

test("between two places lies the difference of their seconds, over ramps, swing and sections", () => {
  const places = spans.flatMap(({ start, end }) => [start, start + 5 * SIXTEENTH, (start + end) / 2, end]);
  for (const from of [0, leadIn / 2, ...places])
    for (const to of places.filter((place) => place > from))
      for (const swung of ["straight", "beat", "hands"] as const)
        expect(timeline.between(from, to, swung)).toBeCloseTo(
          timeline.secondsAt(to, swung) - timeline.secondsAt(from, swung),
          9,
        );
  expect(clockOf(DEMO, { sections: spans } as unknown as Performance).secondsBetween(leadIn, 0)).toBe(0);
});

test("in the lead-in, which is even, the same distance is the same time to the last bit", () => {
  const sixteenth = (60 * 0.25) / TEMPO;
  for (let at = 0; at + SIXTEENTH < leadIn; at += SIXTEENTH / 12)
    expect(timeline.between(at, at + SIXTEENTH, "hands")).toBe(sixteenth);
});

test("a section's end has its own last tempo, not the first of the next", () => {
  const index = DEMO.sections.findIndex(({ tempo }) => typeof tempo !== "number");
  const { to } = DEMO.sections[index]!.tempo as { to: number };
  expect(timeline.tempoIn(index, spans[index]!.end)).toBe(to);
  expect(timeline.tempoAt(leadIn / 2)).toBe(TEMPO);
});
