/** What is worked out about the phrase in hand, in one paragraph. */
import type { PatternFacts } from "../../schemas/facts.ts";
import { Help } from "../parts/Help.tsx";
import { counted, hoursText } from "../parts/music.ts";
import { MOST_BARS } from "./phrase.ts";

const LIMIT_WORDS = {
  clicks: "clicks",
  splitClicks: "split clicks",
  strokes: "strokes",
  splitStrokes: "split strokes",
  closedMs: "closed time",
  openMs: "open time",
  speed: "record speed",
} as const;

/** @param bars until the phrase starts on the bar again */
export function PhraseFacts(props: { facts: PatternFacts; bars: number }) {
  const { facts, bars } = props;
  return (
    <p>
      <Help term="combined length">Combined length</Help> {facts.combinedSteps} steps,{" "}
      {counted(facts.sounds, "sound")}; <Help term="come-round">comes round</Help> after{" "}
      {counted(bars, "bar")}
      {bars > MOST_BARS && `, of which ${MOST_BARS} are shown`}; {facts.mirrored ? "" : "not "}
      <Help term="mirror">mirrored</Help>; <Help term="drift">drift</Help>{" "}
      {facts.driftDegrees === null ? "depends on the tempo" : hoursText(facts.driftDegrees)}
      {facts.names.length > 0 && `; ${facts.names.join(", ")}`}
      {facts.described.length > 0 && `; ${facts.described.join(", ")}`}.{" "}
      <Help term="playability">Your limits</Help>:{" "}
      {facts.reach
        .map(({ limit, reachedAtTempo }) => `${LIMIT_WORDS[limit]} at ${Math.round(reachedAtTempo)}`)
        .join(", ")}{" "}
      quarters a minute.
    </p>
  );
}
