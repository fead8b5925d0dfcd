/** How the rows are read, in one line. */
import { heardShown } from "../state/settings.ts";
import { STRIPES } from "./Stripes.tsx";

/** @param heard with the switch for the picture of what is heard, where there is one */
export function Legend({ heard = false }: { readonly heard?: boolean }) {
  return (
    <p class="legend">
      <span>
        <svg class="row" width="34" height="16" aria-hidden="true">
          <path class="forward" d="M0 1H26L33 8L26 15H0Z" />
        </svg>
        record hand forward, higher is faster
      </span>
      <span>
        <svg class="row" width="34" height="16" aria-hidden="true">
          <path class="back" d="M0 8L7 1H33V15H7Z" />
          <path fill={STRIPES} d="M0 8L7 1H33V15H7Z" />
        </svg>
        back
      </span>
      <span>
        <svg class="row" width="34" height="16" aria-hidden="true">
          <path class="silent forward" d="M1 2H26L32 8L26 14H1Z" />
        </svg>
        moves unheard
      </span>
      <span>
        <svg class="row" width="34" height="16" aria-hidden="true">
          <path class="openings" d="M0 4H12V12H0ZM17 4H34V12H17Z" />
        </svg>
        fader open; the gap is closed
      </span>
      <span>
        <svg class="row" width="34" height="16" aria-hidden="true">
          <path class="tone" d="M0 3H17V16H0Z" />
          <path class="starts" d="M0 3H3V16H0ZM17 3H20V16H17Z" />
          <path class="brackets" d="M1 10L1 4L15 4L15 8M18 10L18 4L32 4L32 8" />
        </svg>
        groups of a hand
      </span>
      {heard && (
        <label class="field">
          <input
            type="checkbox"
            checked={heardShown.value}
            onChange={(event) => {
              heardShown.value = event.currentTarget.checked;
            }}
          />
          <svg class="heard" width="34" height="16" aria-hidden="true">
            <path d="M2 7v2M5 5v6M8 2v12M11 4v8M14 7v2M22 1v14M25 3v10M28 5v6M31 7v2" stroke-width="2" />
          </svg>
          waveform of what is heard
        </label>
      )}
    </p>
  );
}
