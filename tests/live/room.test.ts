/** What an open routine takes of memory while it is edited. */
import { setFlagsFromString } from "node:v8";
import { runInNewContext } from "node:vm";
import { expect, test } from "vitest";
import { Live } from "../../server/live/live.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { HandClock, MemoryFolder } from "./memoryFolder.ts";
import { settle, TestPage } from "./replica.ts";

setFlagsFromString("--expose-gc");
const sweep = runInNewContext("gc") as () => void;

function held(): number {
  sweep();
  return process.memoryUsage().heapUsed;
}

test("an open routine holds what was worked out for the present alone, however often it was edited", async () => {
  const live = new Live(new MemoryFolder(), new HandClock(), () => "");
  await live.create("Night Ferry", "demo");
  const page = new TestPage(live).connect();
  page.say({ type: "open", ask: 1, name: "Night Ferry" });
  await settle();
  const { id } = DEMO.sections[1]!;
  let base = 0;
  const edit = async (times: number): Promise<void> => {
    for (let turn = 0; turn < times; turn++, base++) {
      const set = { pitch: (base % 79) / 10 - 4 };
      const opId = `operation-${base}`;
      page.say({ type: "edit", name: "Night Ferry", opId, base, edit: { kind: "change-section", id, set } });
      await settle();
      page.got.length = 0;
    }
  };
  await edit(30);
  const before = held();
  await edit(100);
  expect(page.replica?.rev).toBe(130);
  // Some kilobytes an edit: the edit itself, and the section before and after. What is worked out takes ten times that.
  expect((held() - before) / 100).toBeLessThan(12_000);
});
