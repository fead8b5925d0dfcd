/** What a page that listens is sent while others edit, without sockets. */
import { expect, test } from "vitest";
import { readHead, SOUND_WIRE } from "../../schemas/soundBlock.ts";
import { createClipWork } from "../../server/jobs/clipWorkers.ts";
import { ClipStore } from "../../server/live/clipStore.ts";
import { Listener } from "../../server/live/listener.ts";
import { Live } from "../../server/live/live.ts";
import { SoundBank } from "../../server/live/soundBank.ts";
import { buildTables } from "../../server/sound/tables.ts";
import type { Connection } from "../../server/web/interfaces.ts";
import { HandClock, MemoryFolder } from "./memoryFolder.ts";
import { settle, TestPage } from "./replica.ts";

const NAME = "Night Ferry";
const silence = buildTables({ rate: 48_000, channels: [new Float32Array(480)] }, { repeatSeconds: 0.01 });

test("edits that follow each other closely are heard at once, and then as what they led to", async () => {
  const clock = new HandClock();
  const live = new Live(new MemoryFolder(), clock, () => "");
  await live.create(NAME, "demo");
  const page = new TestPage(live).connect();
  await settle();
  page.say({ type: "open", ask: 1, name: NAME });
  const heads: { take: number; rev: number }[] = [];
  const connection: Connection = {
    id: 1,
    path: "/sound",
    hello: JSON.stringify({ type: "hello", wire: SOUND_WIRE, token: "t" }),
    waiting: 0,
    send(data) {
      if (typeof data === "string") return true;
      const head = readHead(new DataView(data.buffer, data.byteOffset, data.byteLength));
      if (head !== null) heads.push({ take: head.take, rev: head.rev });
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
  for (let turn = 0; turn < 20 && heads.length === 0; turn++) await settle();
  // What was prepared meanwhile is heard as a take of its own.
  await bank.settled();
  await settle();
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
