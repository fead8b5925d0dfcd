/** What fingers tap in place of the keys that are played with. */
import { KEYS, tapPad } from "./recorder.ts";
import { recording } from "./taking.ts";

export function TapPads() {
  return (
    <div class="pads">
      {KEYS.map((key) => (
        <button
          key={key}
          type="button"
          class="pad"
          disabled={recording.value === "no"}
          onPointerDown={(event) => tapPad(event.timeStamp)}
          onContextMenu={(event) => event.preventDefault()}
        >
          <kbd>{key.toUpperCase()}</kbd>
        </button>
      ))}
    </div>
  );
}
