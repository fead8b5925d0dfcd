/**
 * Every action that has a name: one list, from which keys are looked up and which the user can search. A screen
 * adds its own while it is shown; the last added wins a key.
 */
import { signal } from "@preact/signals";
import { useLayoutEffect } from "preact/hooks";

export interface Action {
  readonly id: string;
  readonly name: string;
  /** As `keyOf` writes them: "Space", "Shift+ArrowRight", "Ctrl+z". */
  readonly keys: readonly string[];
  readonly run: () => void;
  /** It cannot be done at the moment. */
  readonly disabled?: () => boolean;
}

export interface ActionGroup {
  readonly where: string;
  readonly actions: readonly Action[];
}

export const actionGroups = signal<readonly ActionGroup[]>([]);

function addActions(group: ActionGroup): () => void {
  actionGroups.value = [...actionGroups.value, group];
  return () => {
    actionGroups.value = actionGroups.value.filter((one) => one !== group);
  };
}

/** While the component is shown. `current` is asked at the time, so that actions see the newest state. */
export function useActions(
  where: string,
  actions: readonly Action[],
  changesWith: readonly unknown[] = [],
): void {
  // With what is drawn, not after it: a key does what is seen.
  useLayoutEffect(() => addActions({ where, actions }), changesWith as unknown[]);
}

/** Ctrl stands for the Command key too. Letters are as typed without Shift. */
export function keyOf(
  event: Pick<KeyboardEvent, "key" | "code" | "ctrlKey" | "metaKey" | "altKey" | "shiftKey">,
): string {
  const key = event.key === " " ? "Space" : event.key.length === 1 ? event.key.toLowerCase() : event.key;
  // What Shift made into another sign is that sign; for letters and named keys Shift is said.
  const shifted = event.shiftKey && (key.length > 1 || /[a-z]/.test(key));
  return `${event.ctrlKey || event.metaKey ? "Ctrl+" : ""}${event.altKey ? "Alt+" : ""}${shifted ? "Shift+" : ""}${key}`;
}

const WORDS: Readonly<Record<string, string>> = {
  ArrowLeft: "←",
  ArrowRight: "→",
  ArrowUp: "↑",
  ArrowDown: "↓",
  Escape: "Esc",
};
export const keyWords = (key: string): string =>
  key
    .split(/\+(?=.)/)
    .map((part) => WORDS[part] ?? (part.length === 1 ? part.toUpperCase() : part))
    .join(" ");

/** Typing in a field is typing: only keys with Ctrl, and Escape, reach actions from there. */
function isTyping(target: EventTarget | null): boolean {
  if (!(target instanceof HTMLElement)) return false;
  if (target.isContentEditable || target.tagName === "TEXTAREA" || target.tagName === "SELECT") return true;
  return (
    target instanceof HTMLInputElement && !["checkbox", "radio", "button", "range"].includes(target.type)
  );
}
/** Whether what has the focus was reached by the keyboard. Asked as it comes: a key makes what was clicked look so, too. */
let reachedByKeys = false;
const reached = ({ target }: FocusEvent): void => {
  reachedByKeys = target instanceof HTMLElement && target.matches(":focus-visible");
};
/** Where a key has a meaning of its own: Space and Enter on what can be pressed, arrows on a slider. */
function ownKey(target: EventTarget | null, key: string): boolean {
  if (!(target instanceof HTMLElement)) return false;
  if (key === "Enter") return target.closest("button, a, summary, input") !== null;
  // What the mouse was last on does not take Space from playing; what was reached by the keyboard does. A link and a
  // slider know no Space.
  if (key === "Space")
    return reachedByKeys && target.closest("button, summary, input:not([type=range])") !== null;
  return target instanceof HTMLInputElement && target.type === "range" && key.startsWith("Arrow");
}

export function listenToKeys(): () => void {
  let tookSpace = false;
  const pressed = (event: KeyboardEvent): void => {
    tookSpace = false;
    if (event.defaultPrevented) return;
    const key = keyOf(event);
    // Over a dialog only the list of actions opens: what the dialog can do stands there too.
    if (key !== "?" && document.querySelector("dialog[open]") !== null) return;
    if (
      isTyping(event.target) &&
      (!key.startsWith("Ctrl+") || /^Ctrl\+((Shift\+)?[zyacvx]|Arrow\w+)$/.test(key))
    )
      return;
    if (ownKey(event.target, key)) return;
    for (const group of [...actionGroups.value].reverse()) {
      const action = group.actions.find(({ keys }) => keys.includes(key));
      if (action === undefined) continue;
      event.preventDefault();
      tookSpace = key === "Space";
      if (action.disabled?.() !== true) action.run();
      return;
    }
  };
  const released = (event: KeyboardEvent): void => {
    // Space on a button would press it as well when it is let go.
    if (event.key === " " && tookSpace) event.preventDefault();
  };
  addEventListener("focusin", reached);
  addEventListener("keydown", pressed);
  addEventListener("keyup", released);
  return () => {
    removeEventListener("focusin", reached);
    removeEventListener("keydown", pressed);
    removeEventListener("keyup", released);
  };
}
