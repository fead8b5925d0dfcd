/** What an error keeps out of what is heard, shown where it would lie: so that it can be chosen, moved and mended. */
import { contentOf } from "../rows/content.ts";
import { rowMetrics } from "../rows/heard.ts";
import { GUTTER, rowHeight, tracksOf } from "../rows/metrics.ts";
import { shown } from "../state/shown.ts";
import { chooseOnly, isChosen } from "./chosen.ts";
import { keyOfAddress, lyingIn } from "./lying.ts";
import { pixelsOf } from "./Overlay.tsx";
import { nameOf } from "./settle.ts";

/** Pixels that a name needs at least, so that it can be read. */
const LEAST = 120;

/** Those of so many rows of a section. */
export function LeftOut(props: {
  section: string;
  index: number;
  width: number;
  first: number;
  count: number;
}) {
  const state = shown.value;
  const { section, index, width, first, count } = props;
  const own = state?.performance.sections[index];
  if (state === null || own === undefined || state.leftOut.size === 0) return null;
  const content = contentOf(state.performance, index);
  const height = rowHeight(rowMetrics.value, content.players.length);
  const last = content.rows.length - content.leadIn;
  return (
    <>
      {[...lyingIn(state).values()].map((one) => {
        if (one.leftOut !== true || one.section !== section) return null;
        // One that starts outside the section stands at its edge.
        const at = Math.min(
          Math.max(one.from - own.start, -content.leadIn * content.bar),
          (last - 1 / 4) * content.bar,
        );
        const place = pixelsOf(content, at, width, false);
        const row = place === null ? -1 : Math.round(place.top / height);
        if (place === null || row < first || row >= first + count) return null;
        const tracks = tracksOf(rowMetrics.value, Math.max(0, content.players.indexOf(one.player)));
        const long = Math.max(LEAST, ((one.to - one.from) / content.bar) * width);
        return (
          <button
            key={keyOfAddress(one)}
            type="button"
            class={`placed in-trouble left-out ${isChosen(one.section, one.index) ? "chosen" : ""}`}
            aria-pressed={isChosen(one.section, one.index)}
            data-placed={`${index}/${one.index}`}
            style={{
              left: `${GUTTER + Math.min(place.x, width - LEAST)}px`,
              top: `${place.top + tracks.record}px`,
              width: `${Math.min(long, Math.max(LEAST, width - place.x))}px`,
            }}
            onClick={(event) => {
              if (event.detail === 0) chooseOnly(one);
            }}
          >
            {nameOf(state, one)}: not heard, see its problem
          </button>
        );
      })}
    </>
  );
}
