/** What is heard, drawn under a few rows that stand together. The rows themselves say the same in words. */
import type { Signal } from "@preact/signals";
import { HEARD_COLUMNS } from "../../schemas/sound.ts";
import { HEARD, type HeardSection, heardPath } from "./heard.ts";
import { GUTTER } from "./metrics.ts";

interface Props {
  readonly heard: Signal<HeardSection>;
  /** The first row of them, from 0 for the section's first, and how many. */
  readonly first: number;
  readonly count: number;
  readonly width: number;
  /** Pixels of a row, and of what stands over the picture in it. */
  readonly rowHeight: number;
  readonly over: number;
}

export function HeardRows({ heard, first, count, width, rowHeight, over }: Props) {
  const { rows, old } = heard.value;
  const paths = rows
    .slice(first, first + count)
    .map((row, i) => heardPath(row, width, i * rowHeight + over, HEARD));
  return (
    <svg
      class={old ? "heard old" : "heard"}
      aria-hidden="true"
      width={width}
      height={count * rowHeight}
      style={{ left: `${GUTTER}px`, top: `${first * rowHeight}px` }}
    >
      <path d={paths.join("")} stroke-width={width / HEARD_COLUMNS} />
    </svg>
  );
}
