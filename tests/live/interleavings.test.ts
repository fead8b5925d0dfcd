/** Two pages with three edits each, in every order in which these can come, the disk flushing in six ways between. */
import { expect, test } from "vitest";
import { Live } from "../../server/live/live.ts";
import { hear, NAME, type Person, START, verdict } from "./histories.ts";
import { HandClock, MemoryFolder } from "./memoryFolder.ts";
import { settle, TestPage } from "./replica.ts";

/** Every order of three turns of page 0 and three of page 1. */
function orders(left: readonly [number, number] = [3, 3]): number[][] {
  const [a, b] = left;
  if (a + b === 0) return [[]];
  return [
    ...(a > 0 ? orders([a - 1, b]).map((rest) => [0, ...rest]) : []),
    ...(b > 0 ? orders([a, b - 1]).map((rest) => [1, ...rest]) : []),
  ];
}

/** What each page wants: they meet on the title, on a section that one of them takes away, and on a placement. */
const [there] = START.sections[0]!.placements;
const address = { section: "one", index: 0, expected: there };
const WANTED = [
  [
    { kind: "title", title: "A" },
    { kind: "remove-section", id: "two" },
    { kind: "change-placements", changes: [{ placement: address, to: { ...there, bar: 2 } }] },
  ],
  [
    { kind: "change-section", id: "two", set: { tempo: 100 } },
    { kind: "title", title: "B" },
    { kind: "remove-placements", placements: [address] },
  ],
];

/** By page and number: edits that touch the same thing; the ones after which the other cannot be made any more. */
const MEET: readonly (readonly [string, string])[] = [
  ["00", "11"],
  ["01", "10"],
  ["02", "12"],
];
const EACH_OTHERS_END = new Set(["01", "02", "12"]);

/**
 * What each edit must be answered, worked out from the order of their coming alone: stale where one that touches the
 * same thing was made since its base, or where it cannot be made and anything was made since; refused where it cannot be
 * made on what it was made on; or else made.
 */
class Expected {
  readonly #made = new Map<string, number>();
  readonly answers = new Map<string, string>();

  come(who: number, index: number, opId: string, base: number): void {
    const name = `${who}${index}`;
    const [one, two] = MEET.find((pair) => pair.includes(name))!;
    const other = one === name ? two : one;
    const rev = this.#made.get(other);
    const impossible = rev !== undefined && EACH_OTHERS_END.has(other);
    if ((rev ?? 0) > base || (impossible && this.#made.size > base)) this.answers.set(opId, "stale");
    else if (impossible) this.answers.set(opId, "refused");
    else {
      this.answers.set(opId, "ack");
      this.#made.set(name, this.#made.size + 1);
    }
  }
}

/** @param flushes bit n: the disk is done with what it holds before turn n + 1 */
async function play(order: readonly number[], flushes: number): Promise<string | null> {
  const folder = new MemoryFolder();
  const live = new Live(folder, new HandClock(), () => "");
  await folder.create(NAME, JSON.stringify(START));
  const held: (() => void)[] = [];
  folder.disk.delay = () => new Promise((resolve) => held.push(resolve));
  const flush = async (): Promise<void> => {
    await settle();
    for (const go of held.splice(0)) go();
    await settle();
  };
  const people: Person[] = [];
  for (let index = 0; index < 2; index++) {
    const page = new TestPage(live).connect();
    page.say({ type: "open", ask: 1, name: NAME });
    people.push({ page, pending: new Map(), acknowledged: new Map(), turnedDown: new Map(), read: 0 });
  }
  await settle();
  const made = [0, 0];
  const expected = new Expected();
  const say = (who: number, edit: object, replayed: boolean): void => {
    const { page, pending } = people[who]!;
    const opId = `page-${who}-op-${made[who]!}${replayed ? "-again" : ""}`;
    const base = page.replica!.rev;
    expected.come(who, made[who]!, opId, replayed ? Number.POSITIVE_INFINITY : base);
    const message = { type: "edit", name: NAME, opId, base, edit };
    const sent = replayed ? { ...message, replayed: true as const } : message;
    pending.set(opId, sent as never);
    page.say(sent);
  };
  for (const [turn, who] of order.entries()) {
    say(who, WANTED[who]![made[who]!]!, false);
    made[who]!++;
    if ((flushes >> turn) & 1) await flush();
  }
  for (let round = 0; round < 8; round++) await flush();
  // What was stale is made again, by both at once.
  for (const [who, person] of people.entries()) {
    const stale = person.page.got.filter(({ type }) => type === "stale") as { opId: string }[];
    for (const { opId } of stale) {
      made[who] = Number(opId.at(-1));
      say(who, WANTED[who]![made[who]!]!, true);
    }
  }
  for (let round = 0; round < 8; round++) await flush();
  for (const person of people) hear(person);
  const answers = new Map(
    people.flatMap(({ page }) => page.got.flatMap((one) => ("opId" in one ? [[one.opId, one.type]] : []))),
  );
  for (const [opId, answer] of expected.answers)
    if (answers.get(opId) !== answer) return `${opId} is answered ${answers.get(opId)}, not ${answer}`;
  return verdict(folder, people);
}

test("each edit is answered as its order says, and both pages end as the replay of what was acknowledged, nothing twice, nothing lost", async () => {
  const wrong: string[] = [];
  let cases = 0;
  for (const order of orders()) {
    for (const flushes of [0b00000, 0b11111, 0b10101, 0b01010, 0b00100, 0b11011]) {
      cases++;
      const what = await play(order, flushes).catch((error: Error) => error.message);
      if (what !== null) wrong.push(`${order.join("")}, flushes ${flushes}: ${what}`);
    }
  }
  console.log(`interleavings: ${cases}`);
  expect(cases).toBe(120);
  expect(wrong).toEqual([]);
});
