/**
 * A routine that is edited while the power fails again and again. After each crash every acknowledged edit must be
 * there, in its place, and nothing that was never sent; the file must be known as ours, and the past complete.
 */
import { seeded } from "../../server/sound/random.ts";
import { StoreError } from "../../server/store/errors.ts";
import { openFolder } from "../../server/store/folder.ts";
import type { EditRecord, Folder, Moment, Stored } from "../../server/store/interfaces.ts";
import { type Fault, PowerLossDisk } from "./powerLoss.ts";

const NAME = "Night Ferry";
const textOf = (ops: readonly string[]): string => ["start", ...ops].join(",");
const apply = (text: string, records: readonly EditRecord[]): string =>
  [text, ...records.map(({ ops }) => ops as string)].join(",");

/** @returns the number of crashes. @throws Error that says what was lost */
export async function crashHistory(seed: number, fault: Fault | null = null): Promise<number> {
  const random = seeded(seed);
  const below = (count: number): number => Math.floor(random() * count);
  const disk = new PowerLossDisk(random, fault);
  let ids = 0;
  let crashes = 0;
  const open = (calls: number): Promise<Folder> =>
    openFolder("/root", {
      fs: disk.start(calls),
      clock: { now: () => 1_000 + ids, after: () => () => undefined },
      ids: () => String(ids++),
      lock: null,
      journalSize: below(2) * 400,
    });

  const first = await open(Number.POSITIVE_INFINITY);
  await first.create(NAME, "start");
  await first.close();
  /** Edits that must be there. */
  let sure: string[] = [];
  /** All that were ever sent after those. */
  let sent: string[] = [];

  const lives = 2 + below(4);
  for (let life = 0; life < lives; life++) {
    try {
      const folder = await open(1 + below(80));
      const stored = await folder.open(NAME);
      if (stored.state.is !== "read-only") {
        const found = verify(stored, sure, sent);
        await live(stored, found);
        await verifyPast(stored, sure);
      }
    } catch (error) {
      if (error instanceof Lost || !disk.isOff) throw error;
    }
    disk.crash();
    crashes++;

    const folder = await open(Number.POSITIVE_INFINITY);
    const stored = await folder.open(NAME).catch((error: Error) => {
      throw new Lost(error.message);
    });
    if (stored.state.is === "read-only") throw new Lost(`read-only: ${stored.notices.join(" ")}`);
    const found = verify(stored, sure, sent);
    await verifyPast(stored, found);
    await folder.close();
    sure = found;
    sent = [];
  }
  return crashes;

  async function live(stored: Stored, found: string[]): Promise<void> {
    sure = [...found];
    sent = [];
    const all = [...found];
    const pending: Promise<unknown>[] = [];
    for (let step = below(40); step > 0; step--) {
      const act = below(10);
      if (act < 7) {
        const op = `${seed}-${ids++}-${"x".repeat(below(below(10) === 0 ? 2_000 : 20))}`;
        all.push(op);
        sent.push(op);
        const { length } = all;
        const record = { rev: length, opId: op, at: 1_000 + ids, ops: op };
        pending.push(
          stored.append(record).then(
            () => {
              if (length > sure.length) sure = all.slice(0, length);
            },
            () => undefined,
          ),
        );
        if (below(2) === 0) await pending[pending.length - 1];
      } else if (act < 9) {
        // The text of what is flushed: more may wait.
        const moment: Moment = { text: textOf(all.slice(0, stored.rev)), rev: stored.rev };
        pending.push(stored.snapshot(moment));
        if (below(2) === 0) await pending[pending.length - 1];
      } else await Promise.allSettled(pending);
    }
    await Promise.allSettled(pending);
    if (stored.state.is !== "read-only" && below(3) === 0) {
      await stored.close({ text: textOf(all.slice(0, stored.rev)), rev: stored.rev });
    }
  }
}

export class Lost extends Error {}

/** @returns all edits that are there. @throws Lost */
function verify(stored: Stored, sure: readonly string[], sent: readonly string[]): string[] {
  if (stored.state.is === "changed-outside") throw new Lost("the file is not known as ours");
  const found = apply(stored.start.text, stored.after).split(",").slice(1);
  for (const [index, op] of sure.entries()) {
    if (found[index] !== op) throw new Lost(`acknowledged edit ${index + 1} of ${sure.length} is lost`);
  }
  if (stored.rev !== found.length) throw new Lost(`revision ${stored.rev} with ${found.length} edits`);
  const possible = [...sure, ...sent.filter((op) => !sure.includes(op))];
  for (const [index, op] of found.entries()) {
    if (possible[index] !== op) throw new Lost(`edit ${index + 1} was never sent`);
  }
  for (const record of stored.after) {
    if (stored.recent.get(record.opId) !== record.rev) throw new Lost(`the id of edit ${record.rev} is lost`);
  }
  return found;
}

async function verifyPast(stored: Stored, edits: readonly string[]): Promise<void> {
  const listed = await stored.history.list(Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY);
  if (listed.length < edits.length) throw new Lost(`the past has ${listed.length} of ${edits.length} edits`);
  for (let rev = 0; rev <= edits.length; rev += 1 + Math.floor(edits.length / 4)) {
    const { base, records } = await stored.history.moment(rev);
    if (apply(base.text, records) !== textOf(edits.slice(0, rev)))
      throw new Lost(`revision ${rev} is another text`);
  }
}

export interface Campaign {
  readonly crashes: number;
  readonly histories: number;
  /** What was lost, with the seed that shows it. */
  readonly lost: readonly { readonly seed: number; readonly what: string }[];
}

/** Goes through seeds from `from` on until there were so many crashes, or so many losses. */
export async function campaign(
  from: number,
  atLeast: number,
  fault: Fault | null = null,
  mostLost = Number.POSITIVE_INFINITY,
): Promise<Campaign> {
  const lost: { seed: number; what: string }[] = [];
  let crashes = 0;
  let seed = from;
  for (; crashes < atLeast && lost.length < mostLost; seed++) {
    try {
      crashes += await crashHistory(seed, fault);
    } catch (error) {
      // What the store itself says it cannot read is lost as much as what reads otherwise.
      if (!(error instanceof Lost || error instanceof StoreError))
        throw new Error(`seed ${seed}`, { cause: error });
      crashes++;
      lost.push({ seed, what: error.message });
    }
  }
  return { crashes, histories: seed - from, lost };
}
