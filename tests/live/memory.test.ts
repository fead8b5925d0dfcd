/** What is remembered of an object: found again, seen by nobody else, and gone with it. */
import { isDeepStrictEqual } from "node:util";
import { setFlagsFromString } from "node:v8";
import { runInNewContext } from "node:vm";
import { expect, test } from "vitest";
import { Memory } from "../../schemas/memory.ts";

test("it is of one object and one memory, of lists and of what cannot be changed too", () => {
  const [one, other] = [new Memory<object, number>(), new Memory<object, number>()];
  for (const object of [{ a: 1 }, [1, 2], Object.freeze({ a: 1 })]) {
    expect([one.get(object), other.get(object)]).toEqual([undefined, undefined]);
    one.set(object, 1);
    expect([one.get(object), other.get(object)]).toEqual([1, undefined]);
    one.set(object, 2);
    other.set(object, 3);
    expect([one.get(object), other.get(object), one.get({ a: 1 })]).toEqual([2, 3, undefined]);
  }
});

test("nobody sees it on the object", () => {
  const [remembered, plain] = [{ a: 1 }, { a: 1 }];
  new Memory<object, string>().set(remembered, "b");
  expect(Reflect.ownKeys(remembered)).toEqual(["a"]);
  expect(JSON.stringify(remembered)).toBe('{"a":1}');
  expect(isDeepStrictEqual(remembered, plain)).toBe(true);
  expect({ ...remembered }).toEqual(plain);
});

test("it goes with its object in a small collection, however old the memory is", () => {
  setFlagsFromString("--expose-gc");
  const collect = runInNewContext("gc") as (options?: { type: "minor" }) => void;
  const memory = new Memory<object, number[]>();
  const stays = {};
  memory.set(stays, [1]);
  collect();
  const before = process.memoryUsage().heapUsed;
  // 160 MB of values in all.
  for (let turn = 0; turn < 100; turn++) {
    for (let index = 0; index < 200; index++) memory.set({ index }, new Array(1_000).fill(index));
    collect({ type: "minor" });
  }
  expect(process.memoryUsage().heapUsed - before).toBeLessThan(10e6);
  expect(memory.get(stays)).toEqual([1]);
});
