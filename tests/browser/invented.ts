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
  /** A finger stays longer than the page takes from one look at the pads to the next. */
  async pad(kind: "button" | "axis", number: number, value: number) {
    await page.evaluate(([k, n, v]) => (window as unknown as Asked).invented.pad(k, n, v), [
      kind,
      number,
      value,
    ] as const);
    await page.evaluate(
      () =>
        new Promise((seen) => requestAnimationFrame(() => setTimeout(() => requestAnimationFrame(seen), 20))),
    );
  },
  locks: () => page.evaluate(() => ({ ...(window as unknown as Asked).invented.locks })),
  hideAndShow: () => page.evaluate(() => (window as unknown as Asked).invented.hideAndShow()),
  inputsAsked: () => page.evaluate(() => (window as unknown as Asked).invented.cable.asked),
});
