/**
 * Playing after the clock of another program: it starts, continues and stops with it, and its speed is kept so that
 * the place that is heard is the clock's. When the clock stays out it goes on at the last tempo.
 */
import { computed, effect, signal } from "@preact/signals";
import { FASTEST, SLOWEST } from "../../schemas/soundWire.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { tempoInto } from "../parts/seconds.ts";
import { clockInName } from "../state/settings.ts";
import { opened } from "../state/shown.ts";
import { whenClock } from "./clockIn.ts";
import { ClockReader } from "./clockReader.ts";
import { heardNow } from "./heardNow.ts";
import * as player from "./player.ts";
import { underWay } from "./playing.ts";
import * as transport from "./transport.ts";

const SONG_POSITION = 0xf2;
const CLOCK = 0xf8;
const START = 0xfa;
const CONTINUE = 0xfb;
const STOP = 0xfc;

/** Milliseconds between corrections: each renders anew from there on. */
const EVERY = 500;
/** Part of a second's distance that is made up in a second, and the most that speed is changed for it. */
const PULL = 0.2;
const MOST_PULL = 0.03;
/** Changes of speed below this are not worth a new rendering. */
const LEAST = 0.0005;

export const followState = signal<"off" | "waiting" | "following" | "lost" | "far">("off");
/** Of the clock, quarters a minute. */
export const clockTempo = signal<number | null>(null);
export const follows = computed(() => clockInName.value !== "");

let reader = new ClockReader();
let speed = 1;

whenClock((status, data, time) => {
  switch (status) {
    case SONG_POSITION:
      reader.songPosition((data[1] ?? 0) | ((data[2] ?? 0) << 7));
      break;
    case CLOCK:
      reader.clock(time);
      break;
    case START:
      reader.start();
      playFrom(0);
      break;
    case CONTINUE:
      reader.go();
      playFrom((reader.quartersAt(time) ?? 0) * UNITS_PER_QUARTER);
      break;
    case STOP:
      reader.stop();
      if (underWay.value) player.stop();
      break;
  }
});

/** @param position units from the start of the routine */
function playFrom(position: number): void {
  const state = opened.value;
  if (state === null) return;
  const sections = state.performance.sections;
  const here = sections.findLast(({ start }) => start <= position) ?? sections[0];
  transport.from.value =
    position < 1 || here === undefined
      ? null
      : { section: here.performance.id, at: Math.max(-here.start, position - here.start) };
  speed = speedFor(position) ?? 1;
  transport.speed.value = speed;
  transport.play();
}

/** Times the routine's own tempo at a position. */
function speedFor(position: number): number | null {
  const { tempo } = reader;
  const state = opened.value;
  if (tempo === null || state === null) return null;
  const index = state.performance.sections.findLastIndex(({ start }) => start <= position);
  const section = state.routine.sections[Math.max(0, index)];
  const span = state.performance.sections[Math.max(0, index)];
  if (section === undefined || span === undefined) return null;
  const part = Math.max(0, position - span.start) / (span.end - span.start);
  return tempo / tempoInto(section.tempo, part);
}

function correct(): void {
  const now = performance.now();
  clockTempo.value = reader.tempo;
  if (reader.tempo === null) {
    followState.value = "waiting";
    return;
  }
  const lost = reader.lost(now);
  const heard = heardNow();
  const span = heard === null ? undefined : opened.value?.performance.sections[heard.section];
  if (heard === null || span === undefined || heard.countingIn || !reader.running) {
    followState.value = lost ? "lost" : "following";
    return;
  }
  const position = span.start + heard.at;
  const own = speedFor(position);
  const clock = reader.quartersAt(now);
  if (own === null || clock === null) return;
  const behind = (clock - position / UNITS_PER_QUARTER) * (60 / reader.tempo);
  const pull = lost ? 0 : Math.max(-MOST_PULL, Math.min(MOST_PULL, behind * PULL));
  const wanted = own * (1 + pull);
  followState.value = wanted < SLOWEST || wanted > FASTEST ? "far" : lost ? "lost" : "following";
  if (followState.value === "far" || Math.abs(wanted / speed - 1) < LEAST) return;
  speed = wanted;
  transport.speed.value = speed;
  player.set({ speed });
}

effect(() => {
  if (!follows.value) {
    followState.value = "off";
    clockTempo.value = null;
    reader = new ClockReader();
    return;
  }
  followState.value = "waiting";
  const timer = setInterval(correct, EVERY);
  return () => clearInterval(timer);
});
