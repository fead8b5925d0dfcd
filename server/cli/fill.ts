/** `countercut fill`: the sequences of groups that fill a number of steps. */
import { FillAnswer, MOST_FILLINGS } from "../../schemas/find.ts";
import { fill, type Group, groupOf, type PinnedAt } from "../facts/fill.ts";
import { type Fraction, fraction, fractionText } from "../../schemas/fraction.ts";
import { type Arguments, type Command, DONE, print, UsageError, wholeNumber } from "./command.ts";
import { readRoutineFile } from "./files.ts";

const LISTED = 20;

/** "4", "3/2" or "-1": what makes no sense as a length is said by the facts, in one place. */
function length(text: string, option: string): Fraction {
  const [, n, d] = /^(-?\d{1,15})(?:\/0*([1-9]\d{0,8}))?$/.exec(text) ?? [];
  if (n === undefined)
    throw new UsageError(`--${option} takes a length in steps such as 4 or 3/2, not "${text}".`);
  return fraction(BigInt(n), BigInt(d ?? 1));
}

const listOf = (text: string): string[] =>
  text
    .split(",")
    .map((part) => part.trim())
    .filter((part) => part !== "");

/** "--starts 4@8" pins the start of a group of 4 at step 8. */
function pinnedGroups(args: Arguments, option: "starts" | "ends"): PinnedAt[] {
  return listOf(String(args.values[option] ?? "")).map((text) => {
    const at = text.lastIndexOf("@");
    if (at < 1) throw new UsageError(`--${option} takes GROUP@STEP such as 4@8, not "${text}".`);
    return { at: length(text.slice(at + 1), option), [option]: text.slice(0, at) };
  });
}

async function groupsOf(args: Arguments, io: Parameters<Command["run"]>[1]): Promise<Group[] | number> {
  const groups: Group[] = [];
  if (typeof args.values.groups === "string") {
    for (const text of listOf(args.values.groups)) {
      const steps = length(text, "groups");
      groups.push({ name: fractionText(steps), length: steps });
    }
  }
  const file = args.values.patterns;
  if (typeof file === "string") {
    const routine = await readRoutineFile(file, io);
    if (typeof routine === "number") return routine;
    for (const pattern of routine.patterns) groups.push(groupOf(pattern, String(args.values.step ?? "1/16")));
  } else if (args.values.groups === undefined) {
    throw new UsageError("fill needs --groups such as 3,4,5, or --patterns FILE.");
  }
  return groups;
}

export const command: Command = {
  name: "fill",
  usage: "--steps N --groups 3,4,5 [--top K] [--json]",
  help: `
Counts all the sequences of groups that fill a gap of N steps exactly, and lists the best first: fewest changes
from one group to another, then fewest groups, then in the order in which the groups were given.

  --steps N          the gap, in steps; whole, or a fraction such as 33/2
  --groups 3,4,5     lengths of groups in steps
  --patterns FILE    the patterns of a routine as groups, by their ids, each as long as its combined length
  --step 1/16        the step that patterns are counted in
  --pin 8,12         places (steps from the gap's start) where one group must end and the next start
  --starts 4@8       a group and the step at which it must start; more than one, parted by commas
  --ends 5@16        a group and the step at which it must end
  --top K            how many to list: ${LISTED} in the table, ${MOST_FILLINGS} at most
  --json             { "count": "24", "best": [[4,4,4,4], …] }, the count exact as text`,
  options: {
    steps: { type: "string" },
    groups: { type: "string" },
    patterns: { type: "string" },
    step: { type: "string" },
    pin: { type: "string" },
    starts: { type: "string" },
    ends: { type: "string" },
    top: { type: "string" },
    json: { type: "boolean" },
  },
  async run(args, io) {
    const { values } = args;
    if (args.positionals.length > 0)
      throw new UsageError(`fill takes options only, not "${args.positionals[0]}".`);
    if (typeof values.steps !== "string") throw new UsageError("fill needs --steps, the length of the gap.");
    if (values.step !== undefined && !/^[1-9]\d{0,3}\/[1-9]\d{0,3}$/.test(String(values.step)))
      throw new UsageError(`--step takes a part of a whole note such as 1/16, not "${values.step}".`);
    const groups = await groupsOf(args, io);
    if (typeof groups === "number") return groups;
    const answer = fill({
      gap: length(values.steps, "steps"),
      groups,
      pins: [
        ...listOf(String(values.pin ?? "")).map((text) => ({ at: length(text, "pin") })),
        ...pinnedGroups(args, "starts"),
        ...pinnedGroups(args, "ends"),
      ],
      top: wholeNumber(args, "top", 0, MOST_FILLINGS) ?? (values.json === true ? MOST_FILLINGS : LISTED),
    });
    if ("refused" in answer) throw new UsageError(answer.refused);
    const label = (index: number): number | string => {
      const { name } = groups[index] as Group;
      return /^\d+$/.test(name) ? Number(name) : name;
    };
    const best = answer.best.map((filling) => filling.map(label));
    const count = answer.count.toString();
    if (values.json === true) {
      await print(io.stdout, `${JSON.stringify(FillAnswer.parse({ count, best }))}\n`);
      return DONE;
    }
    const one = answer.count === 1n;
    await print(
      io.stdout,
      `${count} ${one ? "sequence fills" : "sequences fill"} ${values.steps} steps.\n${sayNearest(answer.nearest)}`,
    );
    for (const filling of best) await print(io.stdout, `  ${filling.join(" ")}\n`);
    if (answer.count > BigInt(best.length) && best.length > 0)
      await print(io.stdout, `  … the best ${best.length}; --top lists more.\n`);
    return DONE;
  },
};

function sayNearest(nearest: { shorter: Fraction | null; longer: Fraction | null } | null): string {
  if (nearest === null) return "";
  const sizes = [nearest.shorter, nearest.longer].filter((size) => size !== null).map(fractionText);
  return sizes.length === 0
    ? ""
    : `The nearest gaps that these groups can fill: ${sizes.join(" and ")} steps.\n`;
}
