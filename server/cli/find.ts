/** `countercut find`: the space of combinations, counted exactly and listed. */
import { availableParallelism } from "node:os";
import {
  Filter,
  type FindAnswer,
  FindableName,
  type FindQuestion,
  type Found,
  LONGEST_FADER,
  LONGEST_RECORD,
  MOST_FOUND,
  OnsetMix,
  RankedBy,
  type Ranking,
  type Space,
} from "../../schemas/find.ts";
import { FaderState, Move, type Pattern, type Rig } from "../../schemas/routine.ts";
import { listing } from "../facts/find.ts";
import { planOf } from "../facts/findPlan.ts";
import { startSearch } from "../facts/findWorkers.ts";
import { type Arguments, type Command, DONE, type Io, print, UsageError, wholeNumber } from "./command.ts";
import { readRoutineFile } from "./files.ts";
import { table } from "./table.ts";

/** A table shows so many; without a filter or a ranking a list may be as long as this. */
const LISTED = 20;
const MOST_LISTED = 1_000_000;
const PROGRESS_EVERY_MS = 2000;

/** "3" or "2-4", both ends included. */
function range(args: Arguments, option: string, lowest: number, highest: number) {
  const text = args.values[option];
  if (text === undefined) return undefined;
  const [, first, last = first] = /^(\d{1,9})(?:-(\d{1,9}))?$/.exec(String(text)) ?? [];
  if (first === undefined)
    throw new UsageError(`--${option} takes a number or a range such as 2-4, not "${text}".`);
  const [from, to] = [Number(first), Number(last)];
  if (from > to)
    throw new UsageError(
      `--${option} ${text} runs backwards: its first number is above its last. Did you mean ${to}-${from}?`,
    );
  if (from < lowest || to > highest)
    throw new UsageError(`--${option} takes numbers from ${lowest} to ${highest}, not ${text}.`);
  return { from, to };
}

function lengths(args: Arguments, option: "record" | "fader", highest: number) {
  const found = range(args, option, 1, highest);
  if (found === undefined)
    throw new UsageError(`find needs --${option}, the steps of its cycles: 3, or 2-4.`);
  return found;
}

/** A list of words out of some, parted by commas. */
function words<Word extends string>(
  args: Arguments,
  option: string,
  known: readonly Word[],
  unsaid: readonly Word[],
): Word[] {
  const text = args.values[option];
  if (text === undefined) return [...unsaid];
  const list = String(text)
    .split(",")
    .map((word) => word.trim());
  for (const [index, word] of list.entries()) {
    if (!known.includes(word as Word))
      throw new UsageError(
        `--${option} takes ${known.join(", ")}, parted by commas; "${word}" is none of them.`,
      );
    if (list.indexOf(word) !== index)
      throw new UsageError(`--${option} names ${word} twice: name each once.`);
  }
  return list as Word[];
}

const oneOf = <Word extends string>(
  args: Arguments,
  option: string,
  known: readonly Word[],
): Word | undefined => words(args, option, known, [])[0];

function filterOf(args: Arguments): Filter {
  const { values } = args;
  const tempo = values.tempo === undefined ? undefined : Number(values.tempo);
  if (tempo !== undefined && !(tempo >= 20 && tempo <= 400))
    throw new UsageError(`--tempo takes quarters a minute from 20 to 400, not "${values.tempo}".`);
  const contains = words(args, "contains", FindableName.options, []);
  const avoids = words(args, "avoids", FindableName.options, []);
  const filter = {
    combinedSteps: range(args, "combined", 1, LONGEST_RECORD * LONGEST_FADER),
    sounds: range(args, "sounds", 0, LONGEST_RECORD * LONGEST_FADER),
    withinBars: wholeNumber(args, "bars", 1, 1_000_000),
    drift: oneOf(args, "drift", ["zero", "closable"]),
    mirrored: mirrored(args),
    onsets: onsetMix(args),
    playableAt: tempo,
    contains: contains.length > 0 ? contains : undefined,
    avoids: avoids.length > 0 ? avoids : undefined,
  };
  return Filter.parse(Object.fromEntries(Object.entries(filter).filter(([, value]) => value !== undefined)));
}

const ONSETS = Object.keys(OnsetMix.shape) as (keyof OnsetMix)[];

/** "cut=50-100,turn=0": percent of all sounds, both ends included. */
function onsetMix(args: Arguments): OnsetMix | undefined {
  const text = args.values.onsets;
  if (text === undefined) return undefined;
  const mix: OnsetMix = {};
  for (const part of String(text).split(",")) {
    const [, onset, first, last = first] =
      /^\s*([a-z-]+)=(\d{1,3}(?:\.\d+)?)(?:-(\d{1,3}(?:\.\d+)?))?%?\s*$/.exec(part) ?? [];
    if (onset === undefined)
      throw new UsageError(
        `--onsets takes kinds of onset with their percent, such as cut=50-100,turn=0, not "${part}".`,
      );
    if (!ONSETS.includes(onset as keyof OnsetMix))
      throw new UsageError(`--onsets knows ${ONSETS.join(", ")}; "${onset}" is none of them.`);
    if (mix[onset as keyof OnsetMix] !== undefined)
      throw new UsageError(`--onsets names ${onset} twice: name each once.`);
    const [from, to] = [Number(first) / 100, Number(last) / 100];
    if (from > to || to > 1)
      throw new UsageError(`--onsets ${part.trim()}: percent go from 0 to 100, the lower first.`);
    mix[onset as keyof OnsetMix] = { from, to };
  }
  return mix;
}

function mirrored({ values }: Arguments): boolean | undefined {
  if (values.mirrored === true && values.unmirrored === true)
    throw new UsageError("--mirrored and --unmirrored leave nothing: ask for one of them.");
  return values.mirrored === true ? true : values.unmirrored === true ? false : undefined;
}

function rankingOf(args: Arguments): Ranking | undefined {
  const by = oneOf(args, "rank", RankedBy.options);
  const first = oneOf(args, "first", ["least", "most"]);
  if (by === undefined && first !== undefined)
    throw new UsageError("--first says which end of a --rank comes first.");
  return by === undefined ? undefined : { by, first: first ?? (by === "difficulty" ? "least" : "most") };
}

function stepOf({ values }: Arguments): string {
  const step = String(values.step ?? "1/16");
  if (!/^[1-9]\d{0,3}\/[1-9]\d{0,3}$/.test(step))
    throw new UsageError(`--step takes a part of a whole note such as 1/16, not "${step}".`);
  return step;
}

const LETTERS = {
  forward: "F",
  back: "B",
  hold: "H",
  open: "o",
  closed: "x",
  click: "c",
  pulse: "p",
} as const;
const HEADINGS = [
  "record",
  "fader",
  "steps",
  "sounds",
  "mirrored",
  "drift",
  "comes round",
  "difficulty",
  "names",
];

function rowOf({ record, fader, names, difficulty, rankedAt, ...found }: Found): string[] {
  const drift = found.driftDegrees > 0 ? `+${found.driftDegrees}°` : `${found.driftDegrees}°`;
  return [
    record.map((move) => LETTERS[move]).join(" "),
    fader.map((cell) => LETTERS[cell]).join(" "),
    found.combinedSteps,
    String(found.sounds),
    found.mirrored ? "yes" : "no",
    drift,
    `${found.comeRoundRepeats} in ${found.comeRoundBars}`,
    difficulty.toFixed(3),
    names.join(", ") || "–",
    ...(rankedAt === undefined ? [] : [rankedAt.toFixed(3)]),
  ];
}

async function printTable(io: Io, { count, combinations }: FindAnswer, ranking: Ranking | undefined) {
  await print(io.stdout, `${count} ${count === "1" ? "combination" : "combinations"}.\n`);
  if (combinations.length === 0) return;
  const headings = ranking === undefined ? HEADINGS : [...HEADINGS, ranking.by];
  await print(io.stdout, `\n${table([headings, ...combinations.map(rowOf)])}\n`);
  await print(
    io.stdout,
    "F forward, B back, H hold; o open, x closed, c click, p pulse. Comes round: repeats in bars.\n",
  );
  if (BigInt(count) > BigInt(combinations.length))
    await print(io.stdout, `… the first ${combinations.length}; --top lists more.\n`);
}

/** Every combination, one after the other, so that a list of any length takes no memory. */
async function printAll(io: Io, question: FindQuestion, most: number): Promise<void> {
  const plan = planOf(question);
  if ("refused" in plan) throw new UsageError(plan.refused);
  await print(io.stdout, `{"count":"${plan.total}","combinations":[`);
  let listed = 0;
  if (most > 0) {
    for (const { found } of listing(plan)) {
      await print(io.stdout, `${listed === 0 ? "" : ","}${JSON.stringify(found)}`);
      listed++;
      if (listed === most) break;
    }
  }
  await print(io.stdout, "]}\n");
}

async function ask(question: FindQuestion, io: Io): Promise<FindAnswer> {
  const search = startSearch(question, availableParallelism());
  if ("refused" in search) throw new UsageError(search.refused);
  const watched = (io.stderr as { isTTY?: boolean }).isTTY === true;
  const timer = watched
    ? setInterval(() => {
        const { looked, total, matching } = search.progress();
        io.stderr.write(`\r${looked} of ${total} looked at, ${matching} match `);
      }, PROGRESS_EVERY_MS)
    : undefined;
  try {
    return await search.answer;
  } finally {
    clearInterval(timer);
  }
}

export const command: Command = {
  name: "find",
  usage: "--record M --fader N [--strokes forward,back] [--cells open,click] [--top K] [--json]",
  help: `
Lists every combination of a record cycle of M and a fader cycle of N equal steps, one stroke and one cell a step:
each cycle in its shortest form, and each combination once, however it is shifted in time.

  --record M         steps of the record cycle, 1 to ${LONGEST_RECORD}; a number, or a range such as 2-4
  --fader N          steps of the fader cycle, 1 to ${LONGEST_FADER}; likewise
  --strokes LIST     of forward, back, hold; forward,back if left out
  --cells LIST       of open, closed, click, pulse; open,click if left out
  --top K            how many to list; the table lists ${LISTED}, --json all, or ${MOST_FOUND} of a filter or a ranking
  --json             { "count": "48", "combinations": [ … ] }, the count exact as text

What they must be:
  --combined A-B     combined length in steps       --sounds A-B       sounds in a combined length
  --bars N           comes round within N bars
  --mirrored         its own mirror                 --unmirrored       not its own mirror
  --drift zero       no drift; or "closable", by scaling the travels of one direction
  --tempo T          within the limits of the hands at T quarters a minute
  --onsets LIST      percent of the sounds by onset, such as cut=50-100,turn=0;
                     of ${ONSETS.join(", ")}
  --contains LIST    of baby, tear: stands in it    --avoids LIST      does not stand in it

In which order:
  --rank BY          difficulty (least first), evenness, syncopation or distance (most first)
  --first least      or most: which end comes first
  --library FILE     the routine from whose patterns distance is measured, and by whose limits and platter
                     --tempo judges

  --meter 4/4, --step 1/16    the bar and the step that come-round, tempo and syncopation are counted in`,
  options: {
    record: { type: "string" },
    fader: { type: "string" },
    strokes: { type: "string" },
    cells: { type: "string" },
    top: { type: "string" },
    json: { type: "boolean" },
    combined: { type: "string" },
    sounds: { type: "string" },
    bars: { type: "string" },
    mirrored: { type: "boolean" },
    unmirrored: { type: "boolean" },
    onsets: { type: "string" },
    drift: { type: "string" },
    tempo: { type: "string" },
    contains: { type: "string" },
    avoids: { type: "string" },
    rank: { type: "string" },
    first: { type: "string" },
    library: { type: "string" },
    meter: { type: "string" },
    step: { type: "string" },
  },
  async run(args, io) {
    const { values, positionals } = args;
    if (positionals.length > 0) throw new UsageError(`find takes options only, not "${positionals[0]}".`);
    const space: Space = {
      record: lengths(args, "record", LONGEST_RECORD),
      fader: lengths(args, "fader", LONGEST_FADER),
      strokes: words(args, "strokes", Move.options, ["forward", "back"]),
      cells: words(args, "cells", FaderState.options, ["open", "click"]),
    };
    const filter = filterOf(args);
    const ranking = rankingOf(args);
    let library: readonly Pattern[] = [];
    let rig: Rig | undefined;
    if (typeof values.library === "string") {
      const routine = await readRoutineFile(values.library, io);
      if (typeof routine === "number") return routine;
      library = routine.patterns;
      rig = routine.rig;
    }
    const json = values.json === true;
    const plain = ranking === undefined && Object.keys(filter).length === 0;
    const top = wholeNumber(args, "top", 0, plain && json ? MOST_LISTED : MOST_FOUND);
    const question: FindQuestion = {
      space,
      filter,
      ...(ranking === undefined ? {} : { ranking }),
      top: top ?? (json ? MOST_FOUND : LISTED),
      meter: String(values.meter ?? "4/4"),
      step: stepOf(args),
      library,
      ...(rig?.platter === undefined ? {} : { platter: rig.platter }),
      ...(rig?.limits === undefined ? {} : { limits: rig.limits }),
    };
    if (plain && json) {
      const plan = planOf(question);
      if (top === undefined && !("refused" in plan) && plan.total > BigInt(MOST_LISTED))
        throw new UsageError(
          `There are ${plan.total} combinations, too many to list: say how many with --top.`,
        );
      await printAll(io, question, top ?? MOST_LISTED);
      return DONE;
    }
    const answer = await ask(question, io);
    if (json) {
      const { count, combinations } = answer;
      await print(io.stdout, `${JSON.stringify({ count, combinations })}\n`);
    } else await printTable(io, answer, ranking);
    return DONE;
  },
};
