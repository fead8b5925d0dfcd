/** Work that several wait for: told to each, and ended with the last who wants it. */
import { expect, test } from "vitest";
import type { Follow } from "../../server/jobs/clips.ts";
import { SharedWork } from "../../server/jobs/sharedWork.ts";

/** The work, as whoever does it holds it. */
function begun() {
  const held: { all?: Follow; done(result: string): void; fail(error: Error): void } = {
    done: () => {},
    fail: () => {},
  };
  const work = new SharedWork<string>((all) => {
    held.all = all;
    return new Promise((resolve, reject) => {
      held.done = resolve;
      held.fail = reject;
      all.signal.addEventListener("abort", () => reject(new Error("ended")));
    });
  });
  let lost = 0;
  work.whenLost(() => lost++);
  return { work, held, ended: () => held.all!.signal.aborted, lost: () => lost };
}
function follower() {
  const told: number[] = [];
  const control = new AbortController();
  return {
    told,
    leave: () => control.abort(),
    follow: { tell: (done: number) => told.push(done), signal: control.signal },
  };
}

test("each who waits is told how far it is, and gets the result", async () => {
  const { work, held, lost } = begun();
  const [one, other] = [follower(), follower()];
  const both = Promise.all([work.wait(one.follow), work.wait(other.follow)]);
  held.all!.tell(0.5);
  held.done("made");
  expect(await both).toEqual(["made", "made"]);
  expect([one.told, other.told]).toEqual([[0.5], [0.5]]);
  // Leaving what is made already takes it from nobody.
  one.leave();
  other.leave();
  expect(lost()).toBe(0);
  expect(await work.wait()).toBe("made");
});

test("it goes on while somebody wants it, and ends with the last", async () => {
  const { work, held, ended, lost } = begun();
  const [one, other] = [follower(), follower()];
  const [first, second] = [work.wait(one.follow), work.wait(other.follow)];
  one.leave();
  await expect(first).rejects.toHaveProperty("name", "AbortError");
  held.all!.tell(0.7);
  expect([one.told, other.told, ended(), lost()]).toEqual([[], [0.7], false, 0]);
  other.leave();
  await expect(second).rejects.toHaveProperty("name", "AbortError");
  expect(ended()).toBe(true);
  expect(lost()).toBeGreaterThan(0);
});

test("who follows nothing waits to the end, and keeps it from being ended", async () => {
  const { work, held, ended } = begun();
  const one = follower();
  const [first, silent] = [work.wait(one.follow), work.wait()];
  one.leave();
  await expect(first).rejects.toHaveProperty("name", "AbortError");
  expect(ended()).toBe(false);
  held.done("made");
  expect(await silent).toBe("made");
});

test("what fails is told to all, and is lost", async () => {
  const { work, held, lost } = begun();
  const waits = work.wait(follower().follow);
  held.fail(new Error("It broke."));
  await expect(waits).rejects.toThrow("It broke.");
  expect(lost()).toBe(1);
});
