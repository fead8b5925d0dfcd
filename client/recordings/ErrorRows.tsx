/** The bar rows of what was played, with each sound's error under its place: by shape, side and height, not by colour. */
import type { Recording } from "../../schemas/recording.ts";
import { useRef } from "preact/hooks";
import { useWidth } from "../parts/width.ts";
import { barUnits, counted } from "../parts/music.ts";
import { contentOf } from "../rows/content.ts";
import { GUTTER, ROW, rowHeight } from "../rows/metrics.ts";
import { SectionRows } from "../rows/SectionRows.tsx";
import { opened } from "../state/shown.ts";
import { listen, stackIdOf } from "./listening.ts";
import { markShape } from "./marks.ts";
import { becameOf, lateText } from "./summary.ts";

/** Room for the marks under each row. */
const MARKS = 30;
const METRICS = { ...ROW, below: ROW.below + MARKS };

export function ErrorRows({ recording }: { recording: Recording }) {
  const ref = useRef<HTMLDivElement>(null);
  const width = useWidth(ref) - GUTTER - 8;
  const now = opened.value;
  const sections = now?.routine.sections ?? [];
  const result = recording.result;
  const involved = new Set(
    [...(result?.sounds ?? []), ...(result?.extra ?? [])].map(({ section }) => section),
  );
  return (
    <div ref={ref} class="error-rows">
      {now !== null &&
        result !== null &&
        width > 50 &&
        sections.map((section, index) =>
          involved.has(section.id) ? (
            <section key={section.id} aria-label={section.name ?? section.id}>
              <h4>{section.name ?? section.id}</h4>
              <div class="marked">
                <SectionRows
                  performance={now.performance}
                  index={index}
                  stackId={stackIdOf(section.id)}
                  onNumber={
                    recording.peak === null
                      ? undefined
                      : (number) =>
                          void listen(recording, {
                            section: section.id,
                            at: (number - 1) * barUnits(section.meter),
                          })
                  }
                  routine={now.routine}
                  width={width}
                  metrics={METRICS}
                />
                <Marks recording={recording} index={index} width={width} />
              </div>
            </section>
          ) : null,
        )}
    </div>
  );
}

function Marks({ recording, index, width }: { recording: Recording; index: number; width: number }) {
  const now = opened.value!;
  const id = now.routine.sections[index]!.id;
  const content = contentOf(now.performance, index);
  const height = rowHeight(METRICS, content.players.length);
  const sounds = recording.result!.sounds.filter(({ section }) => section === id);
  const extra = recording.result!.extra.filter(({ section }) => section === id);
  return (
    <>
      {content.rows.map((row, at) => {
        const inside = (position: number): boolean =>
          position >= row.start && position < row.start + content.bar;
        const x = (position: number): number => ((position - row.start) / content.bar) * width;
        const here = sounds.filter((sound) => inside(sound.at));
        const more = extra.filter((one) => inside(one.at));
        if (here.length + more.length === 0) return null;
        const count = (what: string): number => here.filter((sound) => becameOf(sound) === what).length;
        const words = `Bar ${row.number}: ${counted(here.length, "sound")}, ${count("early")} early, ${count("late")} late, ${count("missed")} missed, ${more.length} extra.`;
        return (
          <svg
            key={row.number}
            role="img"
            aria-label={words}
            class="marks"
            width={width + 16}
            height={MARKS}
            style={{ left: `${GUTTER - 8}px`, top: `${at * height + height - METRICS.below + 2}px` }}
          >
            <g transform="translate(8 0)">
              <path class="zero" d={`M0 ${MARKS / 2}H${width}`} />
              {here.map((sound, which) => (
                <path key={which} class={becameOf(sound)} d={markShape(x(sound.at), MARKS / 2, MARKS, sound)}>
                  <title>{sound.errorMs === null ? "missed" : lateText(sound.errorMs)}</title>
                </path>
              ))}
              {more.map((one, which) => (
                <path key={`extra ${which}`} class="extra" d={`M${x(one.at)} ${MARKS - 10}l4 4l-4 4l-4 -4Z`}>
                  <title>extra</title>
                </path>
              ))}
            </g>
          </svg>
        );
      })}
    </>
  );
}
