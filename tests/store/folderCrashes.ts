/**
 * The power fails while routines are made, copied, renamed, put into the bin, brought back, and while one of two texts
 * is chosen. What was told as done is done; of what was not, nothing that was acknowledged before is lost.
 */
import { seeded } from "../../server/sound/random.ts";
import { openFolder } from "../../server/store/folder.ts";
import type { Folder, Stored } from "../../server/store/interfaces.ts";
import { Lost } from "./crashes.ts";
import { type Fault, PowerLossDisk } from "./powerLoss.ts";

const NAMES = ["Night Ferry", "Late Ferry"] as const;

interface Rig {
  readonly disk: PowerLossDisk;
  readonly below: (count: number) => number;
  readonly open: (calls: number) => Promise<Folder>;
}

function rigOf(seed: number, fault: Fault | null): Rig {
  const random = seeded(seed);
  const disk = new PowerLossDisk(random, fault);
  let ids = 0;
  return {
    disk,
    below: (count) => Math.floor(random() * count),
    open: (calls) =>
      openFolder("/root", {
        fs: disk.start(calls),
        clock: { now: () => 1_000 + ids, after: () => () => undefined },
        ids: () => (ids++).toString(36).padStart(8, "0"),
        lock: null,
        journalSize: 200,
      }),
  };
}

const textOf = (edits: readonly string[]): string => ["start", ...edits].join(",");
const allOf = ({ start, after }: Stored): string => [start.text, ...after.map(({ ops }) => ops)].join(",");

/** What is being done, until it is told as done. */
type Doing =
  | { readonly what: "edit" | "remove" | "bring back" }
  | { readonly what: "rename"; readonly to: string };

/** @returns the number of crashes. @throws Lost */
export async function folderHistory(seed: number, fault: Fault | null = null): Promise<number> {
  const { disk, below, open } = rigOf(seed, fault);
  const first = await open(Number.POSITIVE_INFINITY);
  await first.create(NAMES[0], "start");
  await first.close();
  let name: string = NAMES[0];
  let binned = false;
  let edits: string[] = [];
  let sent: string[] = [];
  const others = new Map<string, string>();
  let made = 0;

  const lives = 2 + below(3);
  for (let life = 0; life < lives; life++) {
    let doing: Doing | null = null;
    try {
      const folder = await open(1 + below(150));
      for (let step = 2 + below(10); step > 0; step--) {
        if (binned) {
          doing = { what: "bring back" };
          const [one] = await folder.binned();
          name = await folder.bringBack(one?.place ?? "");
          binned = false;
        } else {
          const stored = await folder.open(name);
          const text = { text: textOf(edits), rev: stored.rev };
          const act = below(10);
          if (act < 4) {
            doing = { what: "edit" };
            const op = `${seed}-${made++}`;
            sent = [op];
            await stored.append({ rev: stored.rev + 1, opId: op, at: 1_000, ops: op });
            edits = [...edits, op];
            sent = [];
          } else if (act < 6) {
            const to = NAMES[name === NAMES[0] ? 1 : 0];
            doing = { what: "rename", to };
            await folder.rename(name, to, text);
            name = to;
          } else if (act === 6) {
            doing = { what: "remove" };
            await folder.remove(name, text);
            binned = true;
          } else if (act < 9) {
            const copy = `Copy ${made++}`;
            await folder.copy(name, copy, text);
            others.set(copy, text.text);
          } else {
            const fresh = `New ${made++}`;
            await folder.create(fresh, fresh);
            others.set(fresh, fresh);
          }
        }
        doing = null;
      }
      if (below(2) === 0) await folder.close();
    } catch (error) {
      if (!disk.isOff) throw error;
    }
    disk.crash();

    const folder = await open(Number.POSITIVE_INFINITY);
    const there = (await folder.list()).map((one) => one.name);
    for (const [other, text] of others) {
      if (!there.includes(other)) throw new Lost(`${other} is gone`);
      if ((await folder.open(other)).start.text !== text) throw new Lost(`${other} has another text`);
    }
    const may = [name, ...(doing?.what === "rename" ? [doing.to] : [])];
    const found = may.filter((one) => there.includes(one));
    const inBin = await folder.binned();
    const moves = doing?.what === "remove" || doing?.what === "bring back";
    if (doing?.what === "rename" && found.length === 2) throw new Lost("a rename left two");
    if (found.length === 0 && !(binned || moves)) throw new Lost(`${name} is gone`);
    if (binned && !moves && found.length > 0) throw new Lost(`${name} came back by itself`);
    if (found.length === 0) {
      const [one] = inBin;
      if (one === undefined) throw new Lost("it is neither in the folder nor in the bin");
      name = await folder.bringBack(one.place);
    } else name = found[0] as string;
    binned = false;
    const stored = await folder.open(name);
    if (stored.state.is !== "saved" && stored.state.is !== "journalled") throw new Lost(stored.state.is);
    const now = allOf(stored);
    if (now !== textOf(edits) && now !== textOf([...edits, ...sent]))
      throw new Lost(`${now} in place of ${textOf(edits)}`);
    edits = now.split(",").slice(1);
    sent = [];
    await folder.close();
  }
  return lives;
}

/** A file that was changed outside, and a choice that the power breaks off. @throws Lost */
export async function choiceHistory(seed: number, fault: Fault | null = null): Promise<number> {
  const { disk, below, open } = rigOf(seed, fault);
  const [name] = NAMES;
  const first = await open(Number.POSITIVE_INFINITY);
  await first.create(name, "start");
  const begun = await first.open(name);
  const edits = Array.from({ length: 1 + below(5) }, (_, index) => `e${index + 1}`);
  for (const [index, ops] of edits.entries())
    await begun.append({ rev: index + 1, opId: ops, at: 1_000, ops });
  await first.close();
  const elsewhere = disk.start(Number.POSITIVE_INFINITY);
  await elsewhere.remove(`/root/${name}.routine.json`);
  const handle = await elsewhere.create(`/root/${name}.routine.json`);
  await handle.write(Buffer.from("theirs"));
  await handle.sync();
  await elsewhere.syncFolder("/root");

  const keep = below(2) === 0 ? "ours" : "theirs";
  const ours = textOf(edits);
  let done = false;
  try {
    const stored = await (await open(1 + below(40))).open(name);
    await stored.choose(keep, { text: ours, rev: stored.rev });
    done = true;
  } catch (error) {
    if (!disk.isOff) throw error;
  }
  disk.crash();

  const folder = await open(Number.POSITIVE_INFINITY);
  const stored = await folder.open(name);
  const open_ = stored.state.is === "changed-outside";
  if (stored.state.is === "read-only") throw new Lost("read-only");
  if (done && open_) throw new Lost("the choice is forgotten");
  const texts = [allOf(stored)];
  if (stored.state.is === "changed-outside") texts.push(stored.state.outside.text ?? "");
  for (const other of await folder.list()) {
    if (other.name !== name) texts.push((await folder.open(other.name)).start.text);
  }
  for (const text of [ours, "theirs"]) {
    if (!texts.includes(text)) throw new Lost(`${text} is in none of ${texts.join(" | ")}`);
  }
  if (done && texts[0] !== (keep === "ours" ? ours : "theirs")) throw new Lost("the other one was chosen");
  await folder.close();
  return 1;
}

/** Both kinds from a seed on, until there were so many crashes. */
export async function folderCampaign(from: number, atLeast: number, fault: Fault | null = null) {
  const lost: { seed: number; what: string }[] = [];
  let crashes = 0;
  for (let seed = from; crashes < atLeast; seed++) {
    try {
      crashes += await (seed % 4 === 0 ? choiceHistory : folderHistory)(seed, fault);
    } catch (error) {
      crashes++;
      lost.push({ seed, what: error instanceof Lost ? error.message : String((error as Error).stack) });
    }
  }
  return { crashes, lost };
}
