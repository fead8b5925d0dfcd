/** The bar rows of one section, a few at a time as they come near the window, with the playhead's layer over them. */
import type { Signal } from "@preact/signals";
import type { ComponentChildren } from "preact";
import { useEffect, useMemo, useRef } from "preact/hooks";
import type { Performance } from "../../schemas/performance.ts";
import { platterSpeed } from "../../schemas/rig.ts";
import type { Routine, Section } from "../../schemas/routine.ts";
import { Near } from "../parts/near.tsx";
import { beatUnits, unitsOfText } from "../parts/music.ts";
import { BarRow, type Mark } from "./BarRow.tsx";
import { contentOf, type Row } from "./content.ts";
import type { HeardSection } from "./heard.ts";
import { HeardRows } from "./HeardRows.tsx";
import { ROW, type RowMetrics, rowHeight } from "./metrics.ts";
import { forget, showPlayheadIn } from "./playhead.ts";

/** Rows that come and go together. */
const CHUNK = 4;

export interface SectionRowsProps {
  readonly performance: Performance;
  readonly index: number;
  /** What the playhead knows these rows by; the section's id where left out. */
  readonly stackId?: string;
  readonly routine: Routine;
  readonly width: number;
  readonly metrics?: RowMetrics;
  /** Units between the fine lines of the grid; a sixteenth where left out. */
  readonly step?: number;
  /** Its first rows are in sight as the page begins. */
  readonly atOnce?: boolean;
  /** With it, what is heard is drawn in the space under each row. */
  readonly heard?: Signal<HeardSection> | undefined;
  /** What lies over so many rows from one on; drawn with them. */
  readonly over?: (first: number, count: number) => ComponentChildren;
  /** The beats of the bar are numbered under each row. */
  readonly counts?: boolean;
  /** Which hand is on the record and which on the fader, said beside each track. */
  readonly hands?: { readonly record: string; readonly fader: string };
  readonly mark?: (owner: number, placement: number) => Mark;
  readonly chosen?: (owner: number, placement: number) => boolean;
  readonly onNumber?: ((number: number) => void) | undefined;
  readonly onPlaced?: (owner: number, placement: number, event: MouseEvent) => void;
}

/** Times platter speed, of a record that turns one degree in one unit, at the section's (mean) tempo. */
export function speedOfDegreeUnit(routine: Routine, section: Section): number {
  const { tempo } = section;
  const quarters = typeof tempo === "number" ? tempo : (tempo.from + tempo.to) / 2;
  const secondsAUnit = 60 / quarters / unitsOfText("1/4");
  return 1 / secondsAUnit / platterSpeed(routine.rig, section.pitch);
}

/** What a placement is called: its words, its pattern's name, or the pattern's id. */
export function placementName(routine: Routine, owner: number, placement: number): string {
  const placed = routine.sections[owner]?.placements[placement];
  if (placed === undefined) return "";
  if ("words" in placed) return placed.words;
  return routine.patterns.find(({ id }) => id === placed.pattern)?.name ?? placed.pattern;
}

export function SectionRows(props: SectionRowsProps) {
  const { performance, index, routine, width } = props;
  const metrics = props.metrics ?? ROW;
  const section = routine.sections[index];
  const layer = useRef<HTMLDivElement>(null);
  const id = props.stackId ?? section?.id ?? "";
  const known = performance.sections[index] !== undefined && section !== undefined;
  const content = known ? contentOf(performance, index) : null;
  const height = rowHeight(metrics, content?.players.length ?? 1);

  // The same functions from one drawing to the next, so that a row is drawn again only when it looks otherwise.
  const latest = useRef(props);
  latest.current = props;
  const asks = useMemo(
    () => ({
      name: (owner: number, placement: number): string =>
        placementName(latest.current.routine, owner, placement),
      mark: (owner: number, placement: number): Mark => latest.current.mark?.(owner, placement) ?? "plain",
      chosen: (owner: number, placement: number): boolean =>
        latest.current.chosen?.(owner, placement) ?? false,
      onNumber: (number: number): void => latest.current.onNumber?.(number),
      onPlaced: (owner: number, placement: number, event: MouseEvent): void =>
        latest.current.onPlaced?.(owner, placement, event),
    }),
    [],
  );

  useEffect(() => {
    const element = layer.current;
    if (element === null || content === null) return;
    const place = {
      element,
      width,
      bar: content.bar,
      leadIn: content.leadIn,
      rowHeight: height,
      below: metrics.below,
      count: content.rows.length,
    };
    showPlayheadIn(id, place);
    return () => forget(id, place);
  }, [id, width, height, content]);

  if (content === null || section === undefined) return null;
  const beat = beatUnits(section.meter);
  const looksOf = ({ placed }: Row): string =>
    placed
      .map(({ owner, placement }) =>
        [asks.name(owner, placement), asks.mark(owner, placement), asks.chosen(owner, placement)].join("\t"),
      )
      .join("\n");
  const chunks: Row[][] = [];
  for (let at = 0; at < content.rows.length; at += CHUNK) chunks.push(content.rows.slice(at, at + CHUNK));
  return (
    <div class="section-rows">
      {chunks.map((rows, chunk) => (
        <Near
          key={rows[0]!.number}
          height={height * rows.length}
          atOnce={props.atOnce === true && chunk === 0}
        >
          {() => [
            ...rows.map((row) => (
              <BarRow
                key={row.number}
                row={row}
                bar={content.bar}
                width={width}
                players={content.players}
                metrics={metrics}
                beat={beat}
                step={props.step ?? unitsOfText("1/16")}
                speedPerDegreeUnit={speedOfDegreeUnit(routine, section)}
                meter={section.meter}
                beatRests={section.beat !== undefined && (section.beatRests ?? []).includes(row.number)}
                counts={props.counts ?? false}
                recordHand={props.hands?.record}
                faderHand={props.hands?.fader}
                looks={looksOf(row)}
                name={asks.name}
                mark={asks.mark}
                chosen={asks.chosen}
                onNumber={props.onNumber && asks.onNumber}
                onPlaced={props.onPlaced && asks.onPlaced}
              />
            )),
            props.heard !== undefined && (
              <HeardRows
                key="heard"
                heard={props.heard}
                first={chunk * CHUNK}
                count={rows.length}
                width={width}
                rowHeight={height}
                over={height - metrics.below + 2}
              />
            ),
            props.over?.(chunk * CHUNK, rows.length),
          ]}
        </Near>
      ))}
      <div ref={layer} class="playhead-layer" />
    </div>
  );
}
