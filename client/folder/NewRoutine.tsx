/** Begins a routine: empty, or with one of the examples. */
import { useState } from "preact/hooks";
import { ask } from "../state/connection.ts";
import { folder, openRoutine } from "../state/store.ts";
import { tried } from "./tried.ts";
import { freeName } from "./words.ts";

/** The examples, by how they are asked for. */
const EXAMPLES = { demo: "Night Ferry", "attic-waltz": "Attic Waltz" } as const;

export function NewRoutine(props: { done: () => void }) {
  const names = (folder.value?.routines ?? []).map(({ name }) => name);
  const [name, setName] = useState("");
  const [trouble, setTrouble] = useState<string | null>(null);
  const begin = async (content: "empty" | keyof typeof EXAMPLES): Promise<void> => {
    const wanted = name.trim() || freeName(content === "empty" ? "New routine" : EXAMPLES[content], names);
    const why = await tried(() => ask({ type: "create", name: wanted, content }));
    setTrouble(why);
    if (why !== null) return;
    setName("");
    props.done();
    await openRoutine(wanted);
  };
  return (
    <form
      class="line new-routine"
      onSubmit={(event) => {
        event.preventDefault();
        void begin("empty");
      }}
    >
      <label class="field">
        <span>A new one, called</span>
        <input
          type="text"
          maxLength={200}
          value={name}
          placeholder={freeName("New routine", names)}
          onInput={(event) => setName(event.currentTarget.value)}
        />
      </label>
      <button type="submit">Begin empty</button>
      {(["demo", "attic-waltz"] as const).map((example) => (
        <button key={example} type="button" onClick={() => void begin(example)}>
          Begin with {EXAMPLES[example]}
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
