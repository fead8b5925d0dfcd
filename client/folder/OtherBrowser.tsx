/** Lets another browser of this machine in. */
import { useState } from "preact/hooks";
import { ask } from "../state/connection.ts";
import { tried } from "./tried.ts";

export function OtherBrowser() {
  const [url, setUrl] = useState<string | null>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  const make = (): void =>
    void tried(async () => setUrl((await ask<"link">({ type: "link" })).url)).then(setTrouble);
  return (
    <details class="bin">
      <summary>Another browser on this machine</summary>
      <div class="line">
        <button type="button" onClick={make}>
          Make a link
        </button>
        <span class="quiet small">It works once, within a minute.</span>
      </div>
      {url !== null && (
        <label class="field made-link">
          <span>The link</span>
          <input type="text" readOnly value={url} onFocus={(event) => event.currentTarget.select()} />
        </label>
      )}
      {trouble !== null && (
        <p class="trouble" role="alert">
          {trouble}
        </p>
      )}
    </details>
  );
}
