/** What takes longer than half a second is told while it goes on, with a way to stop it. */
import { useEffect, useState } from "preact/hooks";

/** Milliseconds. */
const SOON = 500;
const SECOND = 1_000;

interface Props {
  /** What goes on: "Looking for ways". */
  readonly words: string;
  /** How much of it is done, 0 to 1; null where that is not known: the bar says only that it goes on. */
  readonly done?: number | null;
  readonly onStop: () => void;
}

export function Waiting({ words, done = null, onStop }: Props) {
  const [begun] = useState(() => performance.now());
  const [waited, setWaited] = useState(0);
  useEffect(() => {
    const tell = (): void => setWaited(performance.now() - begun);
    const first = setTimeout(tell, SOON);
    const timer = setInterval(tell, SECOND);
    return () => {
      clearTimeout(first);
      clearInterval(timer);
    };
  }, [begun]);
  if (waited < SOON) return null;
  return (
    <p class="line">
      <span role="status">{words}…</span>
      <progress max={1} {...(done === null ? {} : { value: done })} aria-label={words} />
      {waited >= SECOND && <span class="quiet">{Math.floor(waited / SECOND)} s</span>}
      <button type="button" onClick={onStop}>
        Stop
      </button>
    </p>
  );
}
