/** What is asked after a gesture, one question at a time; it is shown by parts/Asked.tsx. */
import { signal } from "@preact/signals";
import type { Edit } from "../../schemas/edit.ts";
import { change } from "./change.ts";

export interface Choice {
  readonly label: string;
  readonly act: () => void;
}
export interface Question {
  readonly text: string;
  readonly choices: readonly Choice[];
  /** Which of the choices Escape stands for. */
  readonly leave: number;
}
export const question = signal<Question | null>(null);
/** Each choice is an edit, or nothing; Escape stands for the last. */
export const askWhether = (
  text: string,
  ...choices: { label: string; edit: Edit | null; words: string }[]
): void => {
  question.value = {
    text,
    choices: choices.map(({ label, edit, words }) => ({
      label,
      act: () => {
        if (edit !== null) change(edit, words);
      },
    })),
    leave: choices.length - 1,
  };
};
