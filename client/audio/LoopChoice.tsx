/** Which section, or join, is looped. A long routine has a thousand choices: they are drawn when they are wanted. */
import { useState } from "preact/hooks";
import { opened } from "../state/shown.ts";
import { JOIN_BARS, type Loop, loop, setLoop } from "./loop.ts";

const loopOf = (text: string): Loop => {
  const [kind = "none", section = ""] = text.split(" ");
  return kind === "section" || kind === "join" ? { kind, section } : { kind: "none" };
};
const textOf = (wanted: Loop): string =>
  wanted.kind === "none" ? "none" : `${wanted.kind} ${wanted.section}`;

export function LoopChoice() {
  const [wanted, setWanted] = useState(false);
  const sections = opened.value?.routine.sections ?? [];
  const name = (index: number): string => sections[index]?.name ?? sections[index]?.id ?? "";
  const choices = sections.flatMap(({ id }, index) => [
    { value: `section ${id}`, words: name(index) },
    ...(index === 0
      ? []
      : [
          {
            value: `join ${id}`,
            words: `join ${name(index - 1)} → ${name(index)} (${JOIN_BARS} + ${JOIN_BARS} bars)`,
          },
        ]),
  ]);
  const value = textOf(loop.value);
  return (
    <label class="field" onPointerEnter={() => setWanted(true)} onFocusIn={() => setWanted(true)}>
      <span>Loop</span>
      <select value={value} onChange={(event) => setLoop(loopOf(event.currentTarget.value))}>
        <option value="none">nothing</option>
        {choices
          .filter((choice) => wanted || choice.value === value)
          .map((choice) => (
            <option key={choice.value} value={choice.value}>
              {choice.words}
            </option>
          ))}
      </select>
    </label>
  );
}
