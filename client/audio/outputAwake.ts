/** Keeps the output awake while it plays: the machine slept, the device went away, or another program took it. */
import { forgetStamps } from "./heardNow.ts";
import { output } from "./output.ts";
import { playing } from "./playing.ts";

/** Milliseconds without a word of the audio thread after which it is woken, and looks after which the play is over. */
const SILENT = 1_500;
const MOST_SILENT = 4;
let lastWord = 0;
let silentLooks = 0;

/** The audio thread is at work. */
export function heardWord(): void {
  lastWord = performance.now();
}

/** @param broken called where waking does not help, with a sentence for the user */
export function keepAwake(broken: (why: string) => void): void {
  output()?.addEventListener("statechange", () => {
    if (output()?.state === "running") return;
    forgetStamps();
    if (playing.value) wake();
  });
  setInterval(() => look(broken), 1_000);
}
const wake = (): void =>
  void output()
    ?.resume()
    .catch(() => {});

function look(broken: (why: string) => void): void {
  if (!playing.value || performance.now() - lastWord < SILENT) {
    silentLooks = 0;
    return;
  }
  silentLooks += 1;
  if (silentLooks < MOST_SILENT) wake();
  else
    broken("The sound stopped, because the output of this machine takes none. See to it, then play again.");
}
