/** Begins a routine: empty, or with one of the examples. */
import { useState } from "preact/hooks";
import { ask } from "../state/connection.ts";
import { folder, openRoutine } from "../state/opening.ts";
import { tried } from "./tried.ts";
import { freeName } from "./words.ts";

/** The examples, by how they are asked for. */
const EXAMPLES = { demo: "Night Ferry", "attic-waltz": "Attic Waltz" } as const;
type Content = "empty" | keyof typeof EXAMPLES;
export const BEGINNINGS: readonly { readonly content: Content; readonly words: string }[] = [
  { content: "empty", words: "Begin empty" },
  { content: "demo", words: `Begin with ${EXAMPLES.demo}` },
  { content: "attic-waltz", words: `Begin with ${EXAMPLES["attic-waltz"]}` },
];

const namesNow = (): string[] => (folder.value?.routines ?? []).map(({ name }) => name);

/** Opens it as well. @param name one that is free where left out @returns why it could not be done, or null */
export async function begin(content: Content, name = ""): Promise<string | null> {
  const wanted = name || freeName(content === "empty" ? "New routine" : EXAMPLES[content], namesNow());
  const why = await tried(() => ask({ type: "create", name: wanted, content }));
  if (why === null) await openRoutine(wanted);
  return why;
}

export function NewRoutine(props: { done: () => void }) {
  const [name, setName] = useState("");
  const [trouble, setTrouble] = useState<string | null>(null);
  const start = async (content: Content): Promise<void> => {
    const why = await begin(content, name.trim());
    setTrouble(why);
    if (why !== null) return;
    setName("");
    props.done();
  };
  return (
    <form
      class="line new-routine"
      onSubmit={(event) => {
        event.preventDefault();
        void start("empty");
      }}
    >
      <label class="field">
        <span>A new one, called</span>
        <input
          type="text"
          maxLength={200}
          value={name}
          placeholder={freeName("New routine", namesNow())}
          onInput={(event) => setName(event.currentTarget.value)}
        />
      </label>
      {BEGINNINGS.map(({ content, words }, index) => (
        <button
          key={content}
          type={index === 0 ? "submit" : "button"}
          onClick={() => index > 0 && void start(content)}
        >
          {words}
        </button>
      ))}
      {trouble !== null && (
        <p class="trouble" role="alert">
          {trouble}
        </p>
      )}
    </form>
  );
}
