/** Lets another browser of this machine in. */
import { signal } from "@preact/signals";
import { ask } from "../state/connection.ts";
import { tried } from "./tried.ts";

const url = signal<string | null>(null);
const trouble = signal<string | null>(null);

export const makeLink = async (): Promise<void> => {
  trouble.value = await tried(async () => {
    url.value = (await ask<"link">({ type: "link" })).url;
  });
};
/** It works once: what was made is not shown again. */
export function forgetLink(): void {
  url.value = null;
  trouble.value = null;
}

export function OtherBrowser() {
  return (
    <details class="bin" open={url.value !== null || trouble.value !== null}>
      <summary>Another browser on this machine</summary>
      <div class="line">
        <button type="button" onClick={() => void makeLink()}>
          Make a link
        </button>
        <span class="quiet small">It works once, within a minute.</span>
      </div>
      {url.value !== null && (
        <label class="field made-link">
          <span>The link</span>
          <input type="text" readOnly value={url.value} onFocus={(event) => event.currentTarget.select()} />
        </label>
      )}
      {trouble.value !== null && (
        <p class="trouble" role="alert">
          {trouble.value}
        </p>
      )}
    </details>
  );
}
