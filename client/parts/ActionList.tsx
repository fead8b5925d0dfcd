/** All actions and their keys, searchable; Enter does the one that fits best. */
import { signal } from "@preact/signals";
import { putAway, useModal } from "./modal.ts";
import { type Action, type ActionGroup, actionGroups, keyWords } from "../state/actions.ts";

export const listOpen = signal(false);
const sought = signal("");

/** Several parts of a screen may add to one group. */
function byPlace(groups: readonly ActionGroup[]): readonly ActionGroup[] {
  const found = new Map<string, readonly Action[]>();
  for (const { where, actions } of groups) found.set(where, [...(found.get(where) ?? []), ...actions]);
  return [...found].map(([where, actions]) => ({ where, actions }));
}

export function ActionList() {
  const modal = useModal(
    () => listOpen.value,
    () => {
      listOpen.value = false;
      sought.value = "";
    },
  );
  const act = (action: Action): void => {
    putAway(modal.ref.current);
    if (action.disabled?.() !== true) afterDialogs(action.run);
  };
  return (
    <dialog {...modal} class="actions" aria-label="Actions and their keys">
      {listOpen.value && <Listed act={act} />}
    </dialog>
  );
}

/** Apart from the dialog, so that what can be done is looked through only while the list is open. */
function Listed({ act }: { act: (action: Action) => void }) {
  const words = sought.value.toLowerCase().split(/\s+/);
  // What belongs to the screen before what there is everywhere, as with keys.
  const groups = byPlace([...actionGroups.value].reverse())
    .map(({ where, actions }) => ({
      where,
      actions: actions.filter(({ name, keys }) =>
        words.every((word) => `${where} ${name} ${keys.join(" ")}`.toLowerCase().includes(word)),
      ),
    }))
    .filter(({ actions }) => actions.length > 0);
  const first = bestOf(
    groups.flatMap(({ actions }) => actions),
    sought.value.trim().toLowerCase(),
  );
  return (
    <>
      <form
        class="line"
        onSubmit={(event) => {
          event.preventDefault();
          if (first !== undefined) act(first);
        }}
      >
        <label class="field">
          <span>Find an action</span>
          <input
            type="search"
            autofocus
            value={sought.value}
            onInput={(event) => {
              sought.value = event.currentTarget.value;
            }}
          />
        </label>
        <button
          type="button"
          onClick={() => {
            listOpen.value = false;
          }}
        >
          Close
        </button>
      </form>
      {groups.length === 0 && <p class="quiet">No action has these words.</p>}
      {groups.map(({ where, actions }) => (
        <section key={where}>
          <h3>{where}</h3>
          <ul>
            {actions.map((action) => (
              <li key={action.id}>
                <button
                  type="button"
                  class="plain"
                  disabled={action.disabled?.() === true}
                  onClick={() => act(action)}
                >
                  {action.name}
                </button>
                <span>
                  {action === first && sought.value !== "" && <kbd>Enter</kbd>}
                  {action.keys.map((key) => (
                    <kbd key={key}>{keyWords(key)}</kbd>
                  ))}
                </span>
              </li>
            ))}
          </ul>
        </section>
      ))}
    </>
  );
}

/** What else lies over the page is put away first: the action may show something on it, or open it anew. */
function afterDialogs(run: () => void): void {
  const open = [...document.querySelectorAll<HTMLDialogElement>("dialog[open]")];
  if (open.length === 0) run();
  else open.at(-1)!.addEventListener("close", run, { once: true });
  for (const dialog of open) putAway(dialog);
}

/** What Enter does: of what can be done now, the one whose own name has the words as they were typed, if any has. */
export function bestOf(actions: readonly Action[], text: string): Action | undefined {
  const can = actions.filter(({ disabled }) => disabled?.() !== true);
  const words = text.split(/\s+/);
  const named = (name: string): string => name.toLowerCase();
  return (
    can.find(({ name }) => named(name).includes(text)) ??
    can.find(({ name }) => words.every((word) => named(name).includes(word))) ??
    can[0]
  );
}
