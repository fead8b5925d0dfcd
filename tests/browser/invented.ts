/** What this machine has not: a MIDI device, a gamepad, a lock that keeps the screen awake, a cable from out to in. */
import type { Page } from "playwright-core";

export interface Invented {
  /** Bytes of a MIDI message that the device sends. */
  press(...bytes: number[]): void;
  /** Position of the pad's button (0 to 1) or axis (−1 to 1). */
  pad(kind: "button" | "axis", number: number, value: number): void;
  /** Locks that were asked for, and those that are held. */
  readonly locks: { asked: number; held: number };
  /** As when the page was hidden: the browser takes the lock away; then it is seen again. */
  hideAndShow(): void;
  /** Seconds from the output to the input, and how often the input was asked for. */
  readonly cable: { seconds: number; asked: number };
}

/** Called in the page before its own code runs. */
function invent(): void {
  const input: { name: string; state: string; onmidimessage?: (event: unknown) => void } = {
    name: "Invented pedal",
    state: "connected",
  };
  const define = (on: object, name: string, value: unknown): void => {
    Object.defineProperty(on, name, { configurable: true, value });
  };
  define(navigator, "requestMIDIAccess", async () => ({ inputs: new Map([["1", input]]) }));

  const pad = { index: 0, buttons: Array.from({ length: 4 }, () => ({ value: 0 })), axes: [-1, -1] };
  define(navigator, "getGamepads", () => [pad, null]);

  const locks = { asked: 0, held: 0 };
  let release: (() => void) | null = null;
  const request = async () => {
    const lock = Object.assign(new EventTarget(), {
      released: false,
      async release() {
        if (lock.released) return;
        lock.released = true;
        locks.held--;
        lock.dispatchEvent(new Event("release"));
      },
    });
    release = () => void lock.release();
    locks.asked++;
    locks.held++;
    return lock;
  };
  define(navigator, "wakeLock", { request });

  // Within one context, so that its length is known to the frame.
  const cable = { seconds: 0.057, asked: 0 };
  const ends = new WeakMap<BaseAudioContext, DelayNode>();
  define(navigator.mediaDevices, "getUserMedia", async () => {
    cable.asked++;
    return new MediaStream();
  });
  define(AudioContext.prototype, "createMediaStreamSource", function (this: AudioContext) {
    const end = new DelayNode(this, { delayTime: cable.seconds, maxDelayTime: 1 });
    ends.set(this, end);
    return end;
  });
  const connect = AudioNode.prototype.connect as (
    this: AudioNode,
    to: AudioNode,
    ...rest: number[]
  ) => AudioNode;
  define(AudioNode.prototype, "connect", function (this: AudioNode, to: AudioNode, ...rest: number[]) {
    const end = ends.get(this.context);
    if (to === this.context.destination && end !== undefined) connect.call(this, end);
    return connect.call(this, to, ...rest);
  });

  const invented: Invented = {
    press: (...bytes) =>
      input.onmidimessage?.({ data: Uint8Array.from(bytes), timeStamp: performance.now() }),
    pad(kind, number, value) {
      if (kind === "axis") pad.axes[number] = value;
      else pad.buttons[number]!.value = value;
      dispatchEvent(new Event("gamepadconnected"));
    },
    locks,
    hideAndShow() {
      release?.();
      document.dispatchEvent(new Event("visibilitychange"));
    },
    cable,
  };
  Object.assign(window, { invented });
}

export const inventDevices = (page: Page): Promise<unknown> => page.addInitScript(invent);

type Asked = { invented: Invented };
export const devicesOf = (page: Page) => ({
  press: (...bytes: number[]) =>
    page.evaluate((all) => (window as unknown as Asked).invented.press(...all), bytes),
  pad: (kind: "button" | "axis", number: number, value: number) =>
    page.evaluate(([k, n, v]) => (window as unknown as Asked).invented.pad(k, n, v), [
      kind,
      number,
      value,
    ] as const),
  locks: () => page.evaluate(() => ({ ...(window as unknown as Asked).invented.locks })),
  hideAndShow: () => page.evaluate(() => (window as unknown as Asked).invented.hideAndShow()),
  inputsAsked: () => page.evaluate(() => (window as unknown as Asked).invented.cable.asked),
});

/** Milliseconds for which two pages are watched together. */
const WATCHED = 900;

/** How many milliseconds the line of one page is behind the other's, by the machine's clock: the middle of what is seen. */
export async function behind(one: Page, other: Page): Promise<number> {
  // Told as soon as the line is moved: a frame later it would be seen at another time than it stood there.
  const seen = (until: number) =>
    new Promise<[time: number, x: number][]>((resolve) => {
      const found: [number, number][] = [];
      const observer = new MutationObserver(([moved]) => {
        const line = moved?.target as HTMLElement;
        const x = /translate\(([\d.]+)px/.exec(line.style.transform)?.[1];
        if (line.matches(".far-line:not([hidden])") && x !== undefined)
          found.push([performance.timeOrigin + performance.now(), Number(x)]);
      });
      observer.observe(document.body, { attributeFilter: ["style"], subtree: true });
      setTimeout(() => {
        observer.disconnect();
        resolve(found);
      }, until - Date.now());
    });
  // Between two rounds the lines stand still: then it is looked again.
  for (let tries = 0; tries < 20; tries++) {
    const until = Date.now() + WATCHED;
    const [a, b] = await Promise.all([one.evaluate(seen, until), other.evaluate(seen, until)]);
    const late = b.flatMap(([time, x]) => {
      const at = a.findIndex(([after]) => after >= time);
      const [before, after] = [a[at - 1], a[at]];
      if (before === undefined || after === undefined || after[1] <= before[1]) return [];
      const speed = (after[1] - before[1]) / (after[0] - before[0]);
      const off = (before[1] + speed * (time - before[0]) - x) / speed;
      // A leap to the next row is no lateness.
      return Math.abs(off) < 500 ? [off] : [];
    });
    if (late.length >= 5) return late.sort((x, y) => x - y)[late.length >> 1] as number;
  }
  throw new Error("The two lines did not move at the same time.");
}
