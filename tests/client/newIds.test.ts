import { expect, it } from "vitest";
import { newId } from "../../client/state/newIds.ts";

const listOf = (...ids: string[]) => ids.map((id) => ({ id }));

it("one id is another: that is followed; what came, went or moved is not", () => {
  expect(newId(listOf("a", "b", "c"), listOf("a", "d", "c"))).toEqual({ from: "b", to: "d" });
  expect(newId(listOf("a", "b"), listOf("a", "b"))).toBeNull();
  expect(newId(listOf("a", "b"), listOf("b", "a"))).toBeNull();
  expect(newId(listOf("a", "b"), listOf("a"))).toBeNull();
});
