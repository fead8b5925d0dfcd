/** `countercut describe`: what is worked out about a routine, as tables or as JSON. */
import type { Facts, HandFigure, JoinFacts, PatternFacts, PlacementFacts } from "../../schemas/facts.ts";
import type { Pattern, Placement, Routine, Section } from "../../schemas/routine.ts";
import { describe, describeJson } from "../facts/describe.ts";
import { joinsOf } from "../facts/joins.ts";
import { called } from "../routine/called.ts";
import { placeName, short, way } from "../facts/words.ts";
import { compile } from "../routine/compile.ts";
import { patternsOf } from "../routine/lookups.ts";
import { type Command, DONE, print, theFile, UsageError } from "./command.ts";
import { mendsOfAll, mendsTable } from "./describeMends.ts";
import { METRE_HEADING, metreRow, SOURCES } from "./describeMetre.ts";
import { readRoutineFile } from "./files.ts";
import { table } from "./table.ts";

/** More repeats than these are cut from a row of the table. */
const SHOWN_REPEATS = 16;

const yesNo = (is: boolean): string => (is ? "yes" : "no");
const list = (items: readonly string[]): string => (items.length === 0 ? "–" : items.join(", "));

const LIMIT_NAMES: Readonly<Record<HandFigure["limit"], string>> = {
  clicks: "clicks",
  splitClicks: "split clicks",
  strokes: "strokes",
  splitStrokes: "split strokes",
  closedMs: "closed",
  openMs: "open",
  speed: "speed",
};

/** "clicks at 104": the limit that is reached at the lowest tempo. */
function firstReached(reach: readonly { limit: HandFigure["limit"]; reachedAtTempo: number }[]): string {
  const [first, ...rest] = reach;
  if (first === undefined) return "–";
  const lowest = rest.reduce((low, one) => (one.reachedAtTempo < low.reachedAtTempo ? one : low), first);
  return `${LIMIT_NAMES[lowest.limit]} at ${short(lowest.reachedAtTempo)}`;
}

function patternRow(routine: Routine, facts: PatternFacts): string[] {
  const { id, combinedSteps, sounds, mirrored, driftDegrees, names, described, parts, alike, reach } = facts;
  const also = [
    ...described,
    ...parts.map(({ name, from, to }) => `${name} in steps ${from} to ${to}`),
    ...alike.map(({ name, how }) => `${name} ${how.replaceAll("-", " ")}`),
  ];
  return [
    called(patternsOf(routine).get(id) as Pattern),
    combinedSteps,
    String(sounds),
    yesNo(mirrored),
    driftDegrees === null ? "by tempo" : short(driftDegrees),
    list(names),
    list(also),
    firstReached(reach),
  ];
}

const HAND_WORDS: Readonly<Record<HandFigure["limit"], (value: string) => string>> = {
  clicks: (value) => `${value} clicks/s`,
  splitClicks: (value) => `${value} split clicks/s`,
  strokes: (value) => `${value} strokes/s`,
  splitStrokes: (value) => `${value} split strokes/s`,
  closedMs: (value) => `closed ${value} ms`,
  openMs: (value) => `open ${value} ms`,
  speed: (value) => `speed ${value}`,
};
const hand = ({ limit, value, within }: HandFigure): string =>
  `${HAND_WORDS[limit](short(value))}${within ? "" : "!"}`;

function placementRow(routine: Routine, section: Section, facts: PlacementFacts): string[] {
  const { comeRoundBars, comeRoundRepeats, comeRoundWithBeatBars, repeatStarts, landing, hands } = facts;
  const shown = repeatStarts.slice(0, SHOWN_REPEATS).join(" ");
  return [
    placeName(section, section.placements[facts.placement] as Placement),
    called(patternsOf(routine).get(facts.pattern) as Pattern),
    `${comeRoundRepeats} in ${comeRoundBars}`,
    comeRoundWithBeatBars === null ? "–" : String(comeRoundWithBeatBars),
    comeRoundRepeats > SHOWN_REPEATS ? `${shown} …` : shown,
    landing.steps === "0" ? "lands" : `${landing.steps} over`,
    list(facts.names),
    list(hands.map(hand)),
  ];
}

function joinRow(places: ReadonlyMap<string, string>, join: JoinFacts): string[] {
  const { from, to, seconds, moveDegrees, speed, faderOpen, sampleChanges, verdict } = join;
  const place = ({ section, placement }: JoinFacts["to"]): string =>
    places.get(`${section} ${placement}`) as string;
  return [
    place(from),
    place(to),
    `${short(seconds)} s`,
    sampleChanges || moveDegrees === null ? "another sample" : way(moveDegrees),
    speed === null ? "–" : short(speed),
    faderOpen ? "open" : "closed",
    verdict,
  ];
}

const PATTERNS = ["Phrase", "Steps", "Sounds", "Mirrored", "Drift", "Names", "Also", "First limit, at tempo"];
const PLACEMENTS = [
  "Placement",
  "Phrase",
  "Comes round, bars",
  "With beat",
  "Repeats start at",
  "Landing",
  "Names",
  "Hardest moments (! beyond your limits)",
];
const JOINS = ["From", "To", "Time", "Bring the record", "Speed", "Fader", "Verdict"];

/**
 * The tables as text, each under its title; one that would be empty says so.
 *
 * @param arriving the joins, in the order of arrival
 */
function tables(routine: Routine, { patterns, sections }: Facts, arriving: readonly JoinFacts[]): string {
  const placements = sections.flatMap((facts, index) =>
    facts.placements.map((one) => placementRow(routine, routine.sections[index] as Section, one)),
  );
  const metres = sections.flatMap((facts, index) => {
    const section = routine.sections[index] as Section;
    return facts.placements.map((one) =>
      metreRow(placeName(section, section.placements[one.placement] as Placement), one),
    );
  });
  const places = new Map(
    routine.sections.flatMap((section) =>
      section.placements.map(
        (placement, index) => [`${section.id} ${index}`, placeName(section, placement)] as const,
      ),
    ),
  );
  const joins = arriving.map((join) => joinRow(places, join));
  const titled = (title: string, heading: readonly string[], rows: readonly (readonly string[])[]): string =>
    `${title}\n\n${rows.length === 0 ? "None." : table([heading, ...rows])}\n`;
  return [
    titled(
      "Phrases",
      PATTERNS,
      patterns.map((facts) => patternRow(routine, facts)),
    ),
    titled("Placements", PLACEMENTS, placements),
    titled("Metre", METRE_HEADING, metres),
    `${SOURCES.join("\n")}\n`,
    titled("Joins", JOINS, joins),
  ].join("\n");
}

export const command: Command = {
  name: "describe",
  usage: "FILE [--json [--all]] [--mends]",
  help: `
Prints what is worked out about a routine: of each pattern its combined length, sounds, mirror, drift and names;
of each placement where it comes round, how it lands, and how it pulls against the bar by published measures, sums
being a bar; of each join how long there is, how far the record must be brought, and whether your hands can do it.
What is beyond your limits is said by check. The repeat that pulls most against the beat is named by where it starts.

  --json   { "patterns": [ … ], "placements": [ … ], "joins": [ … ] }
  --all    with --json: everything, { "patterns": [ … ], "sections": [ … ], "warnings": [ … ] }, metre and limits too
  --mends  a table of changes that mend joins beyond your limits, each tried; with --json and --all as "mends"`,
  options: { json: { type: "boolean" }, all: { type: "boolean" }, mends: { type: "boolean" } },
  async run(args, io) {
    const { json, all, mends } = args.values;
    if (all === true && json !== true)
      throw new UsageError("--all goes with --json: the tables have it all.");
    if (mends === true && json === true && all !== true)
      throw new UsageError("--mends goes with the tables, or with --json --all.");
    const routine = await readRoutineFile(theFile(args, "describe"), io);
    if (typeof routine === "number") return routine;
    const performance = compile(routine);
    const arriving = joinsOf(routine, performance).map(({ join }) => join);
    const tried = mends === true ? mendsOfAll(routine, arriving) : null;
    if (json === true) {
      const facts =
        all === true
          ? { ...describe(routine, performance), ...(tried === null ? {} : { mends: tried }) }
          : describeJson(routine, performance);
      await print(io.stdout, `${JSON.stringify(facts, null, 2)}\n`);
      return DONE;
    }
    await print(io.stdout, tables(routine, describe(routine, performance), arriving));
    if (tried !== null) await print(io.stdout, `\n${mendsTable(routine, tried)}`);
    return DONE;
  },
};
