/** Entries of practice that wait, before a server that takes some and refuses others. */
import { expect, test } from "vitest";
import { sendEach } from "../../client/rehearse/sendEach.ts";
import { Sorry } from "../../client/state/connection.ts";

/** @param refuses why it does not take one; null: it does */
function server(waiting: string[], refuses: (one: string) => string | null): (one: string) => Promise<void> {
  return async (one) => {
    const why = refuses(one);
    if (why !== null) throw new Sorry(why);
    waiting.splice(waiting.indexOf(one), 1);
  };
}

test("one that is refused stays, and what waits behind it and what comes meanwhile are sent", async () => {
  const waiting = ["of a routine in the bin", "first", "second"];
  const send = server(waiting, (one) => {
    if (one === "first") waiting.push("third");
    return one.startsWith("of") ? "There is no such routine." : null;
  });
  expect(
    await sendEach(
      () => waiting,
      send,
      () => true,
    ),
  ).toBe("There is no such routine.");
  expect(waiting).toEqual(["of a routine in the bin"]);
});

test("without a connection the rest is not tried, and all of it stays in order", async () => {
  const waiting = ["first", "second", "third"];
  const tried: string[] = [];
  const send = server(waiting, (one) => {
    tried.push(one);
    return one === "first" ? null : "The connection broke.";
  });
  expect(
    await sendEach(
      () => waiting,
      send,
      () => false,
    ),
  ).toBe("The connection broke.");
  expect(tried).toEqual(["first", "second"]);
  expect(waiting).toEqual(["second", "third"]);
  expect(
    await sendEach(
      () => waiting,
      server(waiting, () => null),
      () => true,
    ),
  ).toBe(null);
  expect(waiting).toEqual([]);
});

test("a bug is no refusal: it is thrown", async () => {
  const broken = () => Promise.reject(new TypeError("no function"));
  await expect(
    sendEach(
      () => ["first"],
      broken,
      () => true,
    ),
  ).rejects.toThrow(TypeError);
});
