/** Which action the words in the list of actions mean. */
import { expect, it } from "vitest";
import { bestOf } from "../../client/parts/ActionList.tsx";

const action = (name: string, can = true) => ({
  id: name,
  name,
  keys: [],
  run: () => {},
  disabled: () => !can,
});
const found = (text: string, ...actions: ReturnType<typeof action>[]) => bestOf(actions, text)?.name;

it("is the one whose own name has the words, before one that shares them with its screen", () => {
  const two = [action("Let it go on to the next one"), action("Go to Routine")];
  expect(found("go to rout", ...two)).toBe("Go to Routine");
  expect(found("routine go", ...two)).toBe("Go to Routine");
  expect(found("next", ...two)).toBe("Let it go on to the next one");
});

it("is one that can be done now", () => {
  expect(found("undo", action("Undo", false), action("Undo twice"))).toBe("Undo twice");
  expect(found("undo", action("Undo", false))).toBeUndefined();
});
