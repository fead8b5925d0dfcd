/** Help in place: a term that can be asked, one or two sentences, and a picture where there is something to see. */
import type { ComponentChildren } from "preact";
import { useId, useRef, useState } from "preact/hooks";
import { useElsewhere } from "./elsewhere.ts";
import { HelpPicture } from "./HelpPicture.tsx";
import { SKETCHES } from "./helpPictures.ts";

const TERMS = {
  "combined length":
    "Both hands repeat in groups of their own length. The combined length is when both start together again: groups of 3 and 4 steps meet after 12.",
  "come-round":
    "How many bars it takes until the phrase starts on the first beat of a bar again. Between, its start steps sideways from row to row.",
  mirror:
    "A phrase is mirrored if it sounds the same with forward and back exchanged, perhaps starting at another moment.",
  drift:
    "How far one cycle of the record hand leaves the record from where it began. A phrase with drift walks through the sample.",
  stroke: "One move of the record hand: forward or back, so long, so far.",
  hold: "The record hand keeps the record still: nothing sounds, whatever the fader does.",
  "open cell": "The fader is open from the start of the cell to its end.",
  "closed cell": "The fader is closed from the start of the cell to its end: the record moves unheard.",
  "fader click":
    "The fader is closed for a moment and re-opens exactly on the step: the ear hears the re-opening as a note.",
  pulse: "The fader opens at the start of the cell for a while, then stays closed to the cell’s end.",
  travel:
    "How far the record turns in the stroke: hours on a clock face, 30 degrees each, with the degrees beside.",
  shape:
    "Eased starts and stops smoothly; even keeps one speed; released lets the platter turn the record by itself, forward only.",
  tapping:
    "Play the rhythm with fingers while the beat runs. Each tap goes to its nearest step; you see how far each was off before you take it.",
  step: "The unit in which this hand counts, a part of a whole note. The hands may count in different steps.",
  "length in steps": "How many steps of its hand it lasts: a whole number, or a fraction such as 3/2.",
  "closed for":
    "How long the fader is closed just before the click re-opens it, in steps. It takes its time from what was open before.",
  "open for": "How long each pulse is open, in steps: less than the pulse itself.",
  id: "What the file, the clips and the command line call it, and what the rest of the routine refers to; that follows when it changes. What was practised before stays with the old one.",
  names: "Scratches with a settled trade name that this is, and phrases of yours that it equals.",
  heard:
    "How many sounds one combined length makes: the fader is open and the record moves within one stroke.",
  pull: "How much the sounds go against the strong places of the bar, by published measures. A phrase that does not fit the bar stands differently in it at each repeat.",
  difficulty:
    "Our own figure for how hard a phrase is to learn: what the hands do, what is to be remembered, how late the hands meet again, and how often the fader strikes into a stroke. Tempo is no part of it.",
  neighbours:
    "Phrases that differ from this one by a single change: a way to walk from what you can play to what you cannot play yet.",
  distance:
    "How much of the time the hands do something else than in the nearest phrase of yours, at the best shift.",
  times:
    "The stroke or cell is split into so many equal moves, clicks or pulses. Strokes change direction each time.",
  join: "How the record gets from where one phrase leaves it to where the next one starts, in the time there is.",
  landing: "A phrase lands when its last whole repeat ends just where its place in the routine ends.",
  pickup: "Notes that lead into a section before its first bar.",
  swing:
    "Of each pair of steps of this size the first takes the given part: 50 is straight, 66.67 a triplet feel. It bends the time, never the place in the bar; the beat and the hands each have their own.",
  "pitch slider":
    "Turns the platter faster or slower by so many percent in this section: a released stroke goes further, and a hand moves less against the platter.",
  player:
    "Whose hands these are. Each player has one pair of hands: two phrases at once are two players'. Up to eight may play.",
  cue: "A named place in the sample, in degrees from its start. A phrase may start there, by hand or at the press of a cue button, which takes no time.",
  words:
    "What the hands do where they do not scratch: a needle change, a step back. Words take the time, are drawn and printed, and make no sound.",
  "time limit":
    "How long the routine may last. A longer one is warned of, and the chart shows where it ends.",
  metre: "So many beats in a bar of such a length: 4/4, 7/8. The rows are as long as a bar.",
  tempo:
    "Quarter notes a minute, whatever the metre. Two figures, 92 to 97, are a ramp: even from beat to beat, through the whole section.",
  "beat rests":
    "Bars in which the beat is silent. Its loop goes on unheard, and is where it would be afterwards.",
  playability:
    "What the hands are asked to do, held against your own limits. The tempo at which a limit is reached is shown beside it.",
  "what comes next":
    "Joins before phrases, the weakest first, spread over days: what is practised on several days is kept better than the same on one (Cepeda and others 2006). How many days is our own rule: a day that goes well doubles the gap, up to sixteen; a hard day brings it back to one.",
  saved:
    "Saving: your change is on its way to the disk. Safe: it lies there and outlasts a loss of power; the routine’s file follows in a moment. Saved: the file holds it too. Offline: the page keeps it until the server is back.",
  draft:
    "What you see and hear while you drag, type or try. Nothing is kept until you let go, or take it: one step of undo.",
} as const;
export type Term = keyof typeof TERMS;

/** Pixels that a text and its picture may take, with the foot of the page. */
const ROOM = 360;

/**
 * Opens under the term, or above it where there is no room, over what is there, until one clicks elsewhere or presses
 * Escape.
 */
export function Help(props: { term: Term; children?: ComponentChildren }) {
  const [open, setOpen] = useState(false);
  const [toLeft, setToLeft] = useState(false);
  const [above, setAbove] = useState(false);
  const ref = useRef<HTMLSpanElement>(null);
  const id = useId();
  const sketch = SKETCHES[props.term];
  useElsewhere(ref, open, () => setOpen(false));
  return (
    <span ref={ref} class="help">
      <button
        type="button"
        class="help-term"
        aria-expanded={open}
        aria-controls={id}
        onClick={(event) => {
          const here = event.currentTarget.getBoundingClientRect();
          setToLeft(here.left > innerWidth / 2);
          setAbove(here.bottom > innerHeight - ROOM && here.top > ROOM);
          setOpen(!open);
        }}
      >
        {props.children ?? props.term}
      </button>
      <span
        id={id}
        class={`help-text ${toLeft ? "to-left" : ""} ${above ? "above" : ""}`}
        hidden={!open}
        aria-live="polite"
      >
        {open && TERMS[props.term]}
        {open && sketch !== undefined && <HelpPicture sketch={sketch} />}
      </span>
    </span>
  );
}
