/** Ending while a routine is about to be opened: nothing comes to be open that nobody closes. */
import { expect, test, vi } from "vitest";
import { Live } from "../../server/live/live.ts";
import { HandClock, MemoryFolder } from "./memoryFolder.ts";

test("what was changed last is not opened any more once the program ends", async () => {
  const opened: string[] = [];
  const live = new Live(new MemoryFolder(), new HandClock(), () => "", {
    opened: ({ name }) => void opened.push(name),
  });
  await live.create("Night Ferry", "demo");
  const opening = live.openLatest();
  await live.close();
  await opening;
  expect(opened).toEqual([]);
  await expect(live.open("Night Ferry")).rejects.toThrow("The program is ending.");
});

test("what is being opened already is waited for, and closed", async () => {
  const folder = new MemoryFolder();
  const opened: string[] = [];
  const live = new Live(folder, new HandClock(), () => "", {
    opened: ({ name }) => void opened.push(name),
  });
  await live.create("Night Ferry", "demo");
  const closed = vi.spyOn(folder.files.get("Night Ferry")!, "close");
  void live.open("Night Ferry");
  await live.close();
  expect(opened).toEqual(["Night Ferry"]);
  expect(closed).toHaveBeenCalledOnce();
});
