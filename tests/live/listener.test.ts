/** What a page that listens is sent while others edit, without sockets. */
import { expect, test } from "vitest";
import { readHead, SOUND_WIRE } from "../../schemas/soundBlock.ts";
import { createClipWork } from "../../server/jobs/clipWorkers.ts";
import { ClipStore } from "../../server/live/clipStore.ts";
import { Listener } from "../../server/live/listener.ts";
import { Live } from "../../server/live/live.ts";
import { AT_ONCE, BLOCK } from "../../server/live/player.ts";
import { SoundBank } from "../../server/live/soundBank.ts";
import { buildTables } from "../../server/sound/tables.ts";
import type { Connection } from "../../server/web/interfaces.ts";
import { HandClock, MemoryFolder } from "./memoryFolder.ts";
import { settle, TestPage } from "./replica.ts";

const NAME = "Night Ferry";
const silence = buildTables({ rate: 48_000, channels: [new Float32Array(480)] }, { repeatSeconds: 0.01 });

/** A page that has the demo open, and one that listens to it; `took` is given each block of sound. */
async function hearing(took: (block: Uint8Array, left: () => void) => void) {
  const clock = new HandClock();
  const live = new Live(new MemoryFolder(), clock, () => "");
  await live.create(NAME, "demo");
  const page = new TestPage(live).connect();
  await settle();
  page.say({ type: "open", ask: 1, name: NAME });
  const connection: Connection = {
    id: 1,
    path: "/sound",
    hello: JSON.stringify({ type: "hello", wire: SOUND_WIRE, token: "t" }),
    waiting: 0,
    send(data, _text, left = () => {}) {
      if (typeof data !== "string") took(data, left);
      return true;
    },
    close: () => {},
    onMessage: () => {},
    onClose: () => {},
  };
  const bank = new SoundBank(async () => silence);
  new Listener(
    live,
    bank,
    new ClipStore(createClipWork(new URL("../../dist/server/jobs/clips.worker.js", import.meta.url))),
    connection,
  );
  connection.onMessage(
    JSON.stringify({
      type: "play",
      play: 1,
      material: { kind: "open", name: NAME },
      from: null,
      loop: null,
      speed: 1,
      countIn: 0,
      clicks: { beat: false, record: false, fader: false },
    }),
  );
  await settle();
  // What was prepared meanwhile is heard as a take of its own.
  await bank.settled();
  await settle();
  return { clock, page, connection };
}

test("edits that follow each other closely are heard at once, and then as what they led to", async () => {
  const heads: { take: number; rev: number }[] = [];
  const { clock, page } = await hearing(({ buffer, byteOffset, byteLength }) => {
    const head = readHead(new DataView(buffer, byteOffset, byteLength));
    if (head !== null) heads.push({ take: head.take, rev: head.rev });
  });
  const takes = () => new Set(heads.map(({ take }) => take)).size;
  const before = takes();
  for (let rev = 0; rev < 8; rev++) {
    const edit = { kind: "change-section", id: "quay", set: { pitch: rev / 10 + 0.1 } };
    page.say({ type: "edit", name: NAME, opId: `operation-${rev}`, base: rev, edit });
    await settle();
  }
  expect(page.replica?.rev).toBe(8);
  expect(takes()).toBe(before + 1);
  expect(heads.at(-1)?.rev).toBe(1);
  clock.pass(40);
  await settle();
  expect(takes()).toBe(before + 2);
  expect(heads.at(-1)?.rev).toBe(8);
});

test("the memory of a block is written again once it has left, and not before", async () => {
  let rooms: ArrayBufferLike[] = [];
  let waiting: (() => void)[] = [];
  const { connection } = await hearing(({ buffer }, left) => {
    rooms.push(buffer);
    waiting.push(left);
  });
  const hear = async (frames: number): Promise<readonly ArrayBufferLike[]> => {
    rooms = [];
    connection.onMessage(JSON.stringify({ type: "heard", play: 1, frames, underruns: 0 }));
    await settle();
    return rooms;
  };
  const first = [...rooms];
  const second = await hear(10 * BLOCK);
  expect(second).toHaveLength(AT_ONCE);
  expect(new Set([...first, ...second]).size).toBe(first.length + AT_ONCE);
  for (const left of waiting.splice(0)) left();
  waiting = [];
  const third = await hear(15 * BLOCK);
  expect(third.length).toBeGreaterThan(4);
  expect(new Set(third).size).toBe(third.length);
  expect(third.every((room) => first.includes(room) || second.includes(room))).toBe(true);
});
