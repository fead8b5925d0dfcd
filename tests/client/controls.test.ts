import { expect, test } from "vitest";
import { learnt, pressOfMidi, shutAtRight, sourceWords } from "../../client/rehearse/controls.ts";
import { bindings } from "../../client/rehearse/settings.ts";

test("what is learnt leaves what it did before, and a command keeps one key and one other source", () => {
  const pedal = pressOfMidi({
    kind: "control",
    channel: 1,
    number: 64,
    value: 127,
    time: 0,
    device: "",
  }).source;
  let now = learnt(bindings.value, "good", pedal);
  expect(now.good).toEqual(["key ArrowUp", pedal]);
  now = learnt(now, "bad", pedal);
  expect([now.good, now.bad]).toEqual([["key ArrowUp"], ["key ArrowDown", pedal]]);
  now = learnt(now, "bad", "key x");
  expect(now.bad).toEqual([pedal, "key x"]);
  now = learnt(now, "bad", "button 0 3");
  expect(now.bad).toEqual(["key x", "button 0 3"]);
  expect(now.bad.map(sourceWords)).toEqual(["X", "pad button 4"]);
});

test("the fader shuts away from the turntable, and towards it where it is reversed", () => {
  expect(shutAtRight({})).toBe(true);
  expect(shutAtRight({ turntable: "right" })).toBe(false);
  expect(shutAtRight({ turntable: "left", reversedFader: true })).toBe(false);
  expect(shutAtRight({ turntable: "right", reversedFader: true })).toBe(true);
});
