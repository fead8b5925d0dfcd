/** Which screen is shown, and of what: kept in the address (#/write/wake), so that back, forward and links work. */
import { computed, signal } from "@preact/signals";

export const SCREENS = ["write", "routine", "rehearse", "recordings", "export"] as const;
export type ScreenName = (typeof SCREENS)[number];
export const SCREEN_WORDS: Readonly<Record<ScreenName, string>> = {
  write: "Write",
  routine: "Routine",
  rehearse: "Rehearse",
  recordings: "Recordings",
  export: "Export",
};

const address = signal(typeof location === "object" ? location.hash : "");
if (typeof addEventListener === "function") {
  addEventListener("hashchange", () => {
    address.value = location.hash;
  });
}

/** An address that was written by hand may be none: then it is meant as it stands. */
function decoded(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}

export const place = computed((): { screen: ScreenName; of: string } => {
  const [, screen = "", of = ""] = /^#\/([a-z]+)(?:\/(.*))?$/.exec(address.value) ?? [];
  return {
    screen: SCREENS.find((name) => name === screen) ?? "routine",
    of: decoded(of),
  };
});

/** What stands in the address in place of a section or a phrase: no id has a space. */
export const MINE = "my phrases";
export const BUILT_IN = "built-in beats";
export const SAMPLES = "samples on the record";

export const addressOf = (screen: ScreenName, of = ""): string =>
  `#/${screen}${of === "" ? "" : `/${encodeURIComponent(of)}`}`;
export function goTo(screen: ScreenName, of = ""): void {
  location.hash = addressOf(screen, of);
  // At once: a key that follows is meant for where one goes.
  address.value = location.hash;
}
/** What is shown has another name from now on: the same place, and no way back to the old one. */
export function placeBecomes(screen: ScreenName, from: string, to: string): void {
  if (place.value.screen !== screen || place.value.of !== from) return;
  history.replaceState(history.state, "", addressOf(screen, to));
  address.value = location.hash;
}
