/** The clock messages of the port whose clock is followed; found again by its name when it was unplugged. */
import { effect, signal } from "@preact/signals";
import { clockInName } from "../state/settings.ts";

export const clockNames = signal<readonly string[]>([]);

/** A status byte from 0xF2 on, its data, and milliseconds of `performance.now()`. */
export type OnClock = (status: number, data: Uint8Array, time: number) => void;
let listener: OnClock = () => {};
export const whenClock = (tell: OnClock): void => {
  listener = tell;
};

let access: MIDIAccess | null = null;
let input: MIDIInput | null = null;
const nameOf = ({ name }: MIDIPort): string => name ?? "A port without a name";

function arrived({ data, timeStamp }: MIDIMessageEvent): void {
  const status = data?.[0] ?? 0;
  if (data !== null && status >= 0xf2) listener(status, data, timeStamp);
}

function look(): void {
  const there = [...(access?.inputs.values() ?? [])].filter(({ state }) => state !== "disconnected");
  clockNames.value = there.map(nameOf);
  const wanted = there.find((one) => nameOf(one) === clockInName.peek()) ?? null;
  if (wanted === input) return;
  input?.removeEventListener("midimessage", arrived as EventListener);
  input = wanted;
  input?.addEventListener("midimessage", arrived as EventListener);
  void input?.open();
}

/** Asks the browser, which may ask the user. */
export async function openClock(): Promise<void> {
  if (navigator.requestMIDIAccess === undefined) return;
  if (access === null) {
    try {
      access = await navigator.requestMIDIAccess({ sysex: false });
      access.addEventListener("statechange", look);
    } catch {
      return; // The port to send to says that it was refused.
    }
  }
  look();
}

effect(() => {
  const wanted = clockInName.value;
  if (access !== null) look();
  else if (wanted !== "" && typeof navigator === "object") void openClock();
});
