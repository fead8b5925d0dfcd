/**
 * Where the music is, for the view from afar: what this window plays, or what another window of this machine plays and
 * tells. Both windows read the same clock (`performance.timeOrigin` plus `performance.now()`), so that the one that
 * follows goes on between two tellings by itself and knows how far off it was.
 */
import { signal } from "@preact/signals";
import { z } from "zod";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { heardNow, frameNow } from "../audio/heardNow.ts";
import { opened } from "../state/shown.ts";
import { tempoAt } from "../rehearse/drills.ts";
import { parts } from "../rehearse/plan.ts";
import { nextPart } from "../rehearse/comingRound.ts";
import { counting, heardRound, mode, resting } from "../rehearse/rounds.ts";
import { taking } from "../recordings/taking.ts";
import { type Counted, countedAt } from "./counted.ts";

const TELL_EVERY = 100;
/** How a run of the whole is counted in. */
const ONE_BAR = { count: 1, by: "bar" } as const;
/** A telling that is older than this is of a window that has stopped, or is gone. */
const STALE = 1_500;

const Told = z.strictObject({
  routine: z.string(),
  /** Milliseconds since 1970, by the machine's own clock. */
  time: z.number(),
  section: z.string(),
  /** Units from the section's start, and how many a millisecond. */
  at: z.number(),
  rate: z.number(),
  counting: z.boolean(),
  /** What the count-in has come to. */
  counted: z
    .strictObject({ beat: z.int(), bar: z.strictObject({ now: z.int(), of: z.int() }).nullable() })
    .nullable(),
  resting: z.boolean(),
  mode: z.enum(["drill", "run", "take"]),
  speed: z.number(),
  /** Keys of the part that is practised, and of the one to come. */
  part: z.string().nullable(),
  next: z.string().nullable(),
});
type Told = z.infer<typeof Told>;

export interface Here {
  /** Index in the routine. */
  readonly section: number;
  readonly at: number;
  readonly counting: boolean;
  readonly counted: Counted | null;
  readonly resting: boolean;
  /** "take": it is recorded. */
  readonly mode: "drill" | "run" | "take";
  readonly speed: number;
  readonly part: string | null;
  readonly next: string | null;
}

const clock = (): number => performance.timeOrigin + performance.now();
const channel = typeof BroadcastChannel === "undefined" ? null : new BroadcastChannel("countercut.rehearse");
let told: Told | null = null;
/** Milliseconds that the last tellings were off from what was expected, newest last. */
export const offBy = signal<readonly number[]>([]);

const ahead = (one: Told, time: number): number =>
  one.counting || one.resting ? one.at : one.at + one.rate * (time - one.time);

if (channel !== null)
  channel.onmessage = ({ data }: MessageEvent<unknown>) => {
    const parsed = Told.safeParse(data);
    if (!parsed.success) return;
    const now = parsed.data;
    const still = told !== null && told.section === now.section && !now.counting && !now.resting;
    if (told !== null && still && !told.counting && !told.resting && now.rate > 0) {
      const off = (now.at - ahead(told, now.time)) / now.rate;
      // A leap of the music is no error of the clock.
      if (Math.abs(off) < 500) offBy.value = [...offBy.value.slice(-19), off];
    }
    told = now;
  };

/** What this window plays, as it is told to the others. */
function mine(): Told | null {
  const now = opened.value;
  const heard = heardNow();
  const section = now?.routine.sections[heard?.section ?? -1];
  const take = taking.value;
  const what = take !== null ? "take" : mode.value;
  if (now === null || heard === null || section === undefined || what === null) return null;
  const round = heardRound.value;
  const speed = take?.speed ?? round?.round.speed ?? 1;
  const place = { section: section.id, at: heard.at };
  const count = take?.countIn ?? round?.round.countIn ?? ONE_BAR;
  // Of a drill as it was looked at together with its round.
  const counts = take === null ? counting.value : heard.countingIn;
  const since = (frameNow() ?? 0) - (take === null ? (round?.frame ?? 0) : 0);
  return {
    routine: now.name,
    time: clock(),
    ...place,
    rate: (tempoAt(now, place) * speed * UNITS_PER_QUARTER) / 60_000,
    counting: counts,
    counted: counts ? countedAt(now, heard, count, speed, since) : null,
    resting: take === null && resting.value,
    mode: what,
    speed,
    part: take?.part.key ?? round?.part.key ?? (what === "run" ? (parts.value.at(-1)?.key ?? null) : null),
    next: nextPart.value?.key ?? null,
  };
}

let lastTold = 0;
/** Tells the other windows; called every animation frame while this one plays. */
export function tell(): void {
  const time = performance.now();
  if (time - lastTold < TELL_EVERY) return;
  const now = mine();
  if (now === null) return;
  lastTold = time;
  channel?.postMessage(now);
}

/** null: nothing is played, here or elsewhere. */
export function hereNow(): Here | null {
  const own = mine();
  const one = own ?? (told !== null && clock() - told.time < STALE ? told : null);
  const now = opened.value;
  if (one === null || now === null || one.routine !== now.name) return null;
  const section = now.routine.sections.findIndex(({ id }) => id === one.section);
  if (section < 0) return null;
  const { counting, counted, resting, mode, speed, part, next } = one;
  return {
    section,
    at: own === null ? ahead(one, clock()) : one.at,
    counting,
    counted,
    resting,
    mode,
    speed,
    part,
    next,
  };
}

/** Whether another window is followed. */
export const following = (): boolean =>
  mode.value === null && taking.value === null && told !== null && clock() - told.time < STALE;

/** What the address says of a window that only follows another. */
export const FOLLOWS = "far";
export function openSecond(): void {
  open(`${location.pathname}#/rehearse/${FOLLOWS}`, "_blank", "popup,width=1280,height=800");
}
