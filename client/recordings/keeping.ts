/** What was played goes into the folder of its routine; what that does not take is held, and tried again. */
import { effect } from "@preact/signals";
import type { Recording, RecordingAbout } from "../../schemas/recording.ts";
import { sendEach } from "../rehearse/sendEach.ts";
import { hasHome } from "../rehearse/unsentPractice.ts";
import { jsonBody } from "../state/ask.ts";
import { link, Sorry } from "../state/connection.ts";
import { saved } from "../state/saved.ts";
import { opened } from "../state/shown.ts";
import { asked, busy, compared, during, keptTrouble, root } from "./kept.ts";
import { recording } from "./taking.ts";
import { hold, letGo, type Take, unkept } from "./unkept.ts";

/** Puts it into the folder of its routine. @returns null where that did not come about, or was stopped */
const put = ({ name, about, played }: Omit<Take, "key">): Promise<Recording | null> =>
  during("Keeping the recording", (signal) =>
    played instanceof Blob
      ? asked<Recording>(`${root(name)}?about=${encodeURIComponent(JSON.stringify(about))}`, {
          method: "PUT",
          signal,
          headers: { "content-type": "audio/wav" },
          body: played,
        })
      : asked<Recording>(root(name), { ...jsonBody("POST", { about, times: played }), signal }),
  );

/** A file of the user's own: it stays where it was, whatever becomes of it here. */
export async function bring(about: RecordingAbout, file: Blob): Promise<void> {
  const name = opened.value?.name ?? "";
  const made = await put({ name, about, played: file });
  if (made !== null && opened.value?.name === name) await compared(made);
}

/** @throws Sorry where the folder did not take it: then it is held on */
async function keep(key: string): Promise<void> {
  const take = unkept.peek().find((one) => one.key === key);
  if (take === undefined) return;
  const made = await put(take);
  if (made === null) {
    const why = keptTrouble.value ?? "It was stopped before it was kept.";
    hold(take, why);
    throw new Sorry(why);
  }
  letGo(take);
  if (opened.value?.name === take.name) await compared(made);
}

let keeping = false;

/** What is held, one after the other, also what comes meanwhile; what the folder does not take stays. */
export async function keepHeld(): Promise<void> {
  // It would be kept twice.
  if (keeping) return;
  keeping = true;
  try {
    await sendEach(
      () =>
        unkept
          .peek()
          .filter(hasHome)
          .map(({ key }) => key),
      keep,
      () => link.value === "open",
    );
  } finally {
    keeping = false;
  }
}

/** What was just played in the open routine. @param played a WAV file, or seconds from the start */
export function keepPlayed(about: RecordingAbout, played: Take["played"]): Promise<void> {
  const name = opened.value?.name ?? "";
  hold({ key: crypto.randomUUID(), name, about, played }, "It waits until the server answers.");
  return keepHeld();
}

// When the server is there again, or the folder can be written again; but not while one plays.
effect(() => {
  const may = link.value === "open" && saved.value.state !== "cannot" && recording.value === "no";
  if (may && busy.peek() === null && unkept.peek().length > 0) void keepHeld();
});
