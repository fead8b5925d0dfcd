/**
 * Parts of the page that are not needed for its first picture: each is loaded when it is first shown, and all of them
 * once the page has nothing else to do, so that they are there when the server is gone for a while.
 */
import { signal } from "@preact/signals";
import type { FunctionComponent } from "preact";
import { whenIdle } from "./idle.ts";

const loads: (() => Promise<void>)[] = [];

/** The component that `load` gives. */
export function later<Props extends object>(
  load: () => Promise<FunctionComponent<Props>>,
): FunctionComponent<Props> {
  const loaded = signal<FunctionComponent<Props> | null>(null);
  const failed = signal(false);
  let loading: Promise<void> | null = null;
  const fetched = (): Promise<void> => {
    loading ??= load().then(
      (view) => {
        loaded.value = view;
      },
      () => {
        loading = null;
        failed.value = true;
      },
    );
    return loading;
  };
  loads.push(fetched);
  return (props) => {
    const View = loaded.value;
    if (View !== null) return <View {...props} />;
    if (failed.value)
      return (
        <section class="notice">
          <h2>This part of the page could not be loaded</h2>
          <p>See whether the server still runs, then load the page again.</p>
          <button type="button" onClick={() => location.reload()}>
            Load again
          </button>
        </section>
      );
    void fetched();
    return (
      <p class="waiting" role="status">
        Loading…
      </p>
    );
  };
}

/** Milliseconds in which the first picture stands. */
const FIRST_PICTURE = 1_000;

/** One after the other, when there is time. */
export function loadTheRest(): void {
  const next = (index: number): void => {
    const fetched = loads[index];
    if (fetched !== undefined) whenIdle(() => void fetched().then(() => next(index + 1)));
  };
  setTimeout(() => next(0), FIRST_PICTURE);
}
