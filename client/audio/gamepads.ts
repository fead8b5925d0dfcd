/**
 * Buttons and axes of gamepads, as presses, releases and positions. The browser has no events for them: they are looked
 * at every 4 ms while someone listens and a pad is there.
 */
const EVERY = 4;

export interface PadEvent {
  readonly kind: "button" | "axis";
  readonly pad: number;
  readonly number: number;
  /** 0 to 1; an axis from its one end to the other. */
  readonly value: number;
  /** Milliseconds, of the clock of `performance.now()`. */
  readonly time: number;
}

const listeners = new Set<(event: PadEvent) => void>();
const last = new Map<string, number>();
let timer: ReturnType<typeof setInterval> | undefined;

/** @returns the way to stop listening */
export function onPad(listener: (event: PadEvent) => void): () => void {
  listeners.add(listener);
  watch();
  return () => {
    listeners.delete(listener);
    watch();
  };
}

const pads = (): Gamepad[] =>
  typeof navigator === "undefined" || navigator.getGamepads === undefined
    ? []
    : navigator.getGamepads().filter((pad): pad is Gamepad => pad !== null);

function watch(): void {
  const wanted = listeners.size > 0 && pads().length > 0;
  if (wanted && timer === undefined) timer = setInterval(look, EVERY);
  else if (!wanted) {
    clearInterval(timer);
    timer = undefined;
  }
}

function look(): void {
  const time = performance.now();
  for (const { index, buttons, axes } of pads()) {
    for (const [number, { value }] of buttons.entries()) tell("button", index, number, value, time);
    for (const [number, value] of axes.entries()) tell("axis", index, number, (value + 1) / 2, time);
  }
}

function tell(kind: PadEvent["kind"], pad: number, number: number, value: number, time: number): void {
  const key = `${kind} ${pad} ${number}`;
  const before = last.get(key);
  last.set(key, value);
  // The first look says where things stand; it is no move.
  if (before === undefined || Math.abs(before - value) < 0.004) return;
  for (const listener of [...listeners]) listener({ kind, pad, number, value, time });
}

if (typeof addEventListener === "function") {
  addEventListener("gamepadconnected", watch);
  addEventListener("gamepaddisconnected", watch);
}
