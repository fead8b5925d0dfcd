/** Tempo reached by day: a chart with axes, and the same said in words. */
import { scaleLinear } from "d3-scale";
import type { PracticeEntry } from "../../schemas/practice.ts";
import { dayOf } from "./nextUp.ts";

const [WIDTH, HEIGHT] = [640, 220];
const SPACE = { left: 52, right: 96, top: 12, bottom: 44 };

interface Day {
  readonly day: number;
  readonly reached: number | null;
  readonly failedAt: number | null;
}

function daysOf(entries: readonly PracticeEntry[]): Day[] {
  const byDay = new Map<number, PracticeEntry[]>();
  for (const entry of entries) {
    const day = dayOf(new Date(entry.at));
    byDay.set(day, [...(byDay.get(day) ?? []), entry]);
  }
  const pick = (all: readonly PracticeEntry[], of: "reached" | "failedAt"): number[] =>
    all.flatMap((one) => (one[of] === null ? [] : [one[of]]));
  return [...byDay]
    .sort(([a], [b]) => a - b)
    .map(([day, all]) => {
      const [reached, failed] = [pick(all, "reached"), pick(all, "failedAt")];
      return {
        day,
        reached: reached.length === 0 ? null : Math.max(...reached),
        failedAt: failed.length === 0 ? null : Math.min(...failed),
      };
    });
}

const dayText = (day: number): string =>
  new Date(day * 86_400_000).toLocaleDateString("en-GB", { day: "numeric", month: "short", timeZone: "UTC" });

interface Shown {
  readonly name: string;
  readonly entries: readonly PracticeEntry[];
  /** The best recording, if there is one. */
  readonly best: PracticeEntry | undefined;
}

export function TempoChart({ name, entries, best }: Shown) {
  const days = daysOf(entries);
  const written = entries.at(-1)?.written ?? 0;
  const values = [written, ...days.flatMap(({ reached, failedAt }) => [reached, failedAt])].filter(
    (v) => v !== null,
  );
  const first = days[0]?.day ?? 0;
  const last = Math.max(first + 6, days.at(-1)?.day ?? 0);
  const x = scaleLinear([first, last], [SPACE.left, WIDTH - SPACE.right]);
  const y = scaleLinear(
    [Math.min(...values) * 0.9, Math.max(...values) * 1.05],
    [HEIGHT - SPACE.bottom, SPACE.top],
  ).nice(5);
  const held = days.filter((one): one is Day & { reached: number } => one.reached !== null);
  const words = days
    .map(
      ({ day, reached, failedAt }) =>
        `${dayText(day)}: ${reached === null ? "none held" : `held at ${Math.round(reached)}`}${failedAt === null ? "" : `, failed from ${Math.round(failedAt)}`}`,
    )
    .join("; ");
  const recorded = best?.reached ?? best?.failedAt ?? null;
  const recordedDay = best === undefined ? 0 : dayOf(new Date(best.at));
  const recordedWords =
    recorded === null ? "" : ` Best recording: ${dayText(recordedDay)}, ${Math.round(recorded)}.`;
  const every = Math.max(1, Math.ceil((last - first) / 6));
  const ticks = Array.from(
    { length: Math.floor((last - first) / every) + 1 },
    (_, index) => first + index * every,
  );
  return (
    <figure class="chart">
      <div class="scroll">
        <svg
          role="img"
          width={WIDTH}
          height={HEIGHT}
          aria-label={`Tempo of ${name} by day, quarters a minute, written ${Math.round(written)}. ${words}.${recordedWords}`}
        >
          {y.ticks(5).map((tick) => (
            <g key={tick}>
              <path class="beats" d={`M${SPACE.left} ${y(tick)}H${WIDTH - SPACE.right}`} />
              <text x={SPACE.left - 8} y={y(tick) + 4} text-anchor="end">
                {tick}
              </text>
            </g>
          ))}
          {ticks.map((tick) => (
            <text key={tick} x={x(tick)} y={HEIGHT - SPACE.bottom + 18} text-anchor="middle">
              {dayText(tick)}
            </text>
          ))}
          <text x={SPACE.left} y={HEIGHT - 6}>
            Day, and tempo in quarter notes a minute
          </text>
          <path class="written" d={`M${SPACE.left} ${y(written)}H${WIDTH - SPACE.right}`} />
          <text x={WIDTH - SPACE.right + 6} y={y(written) + 4}>
            written
          </text>
          <path
            class="reached"
            d={held
              .map(({ day, reached }, index) => `${index === 0 ? "M" : "L"}${x(day)} ${y(reached)}`)
              .join("")}
          />
          {held.map(({ day, reached }) => (
            <circle key={day} class="held" cx={x(day)} cy={y(reached)} r={5} />
          ))}
          {days.map(({ day, failedAt }) =>
            failedAt === null ? null : (
              <path
                key={day}
                class="failed"
                d={`M${x(day) - 5} ${y(failedAt) - 5}l10 10M${x(day) + 5} ${y(failedAt) - 5}l-10 10`}
              />
            ),
          )}
          {recorded !== null && <circle class="recorded" cx={x(recordedDay)} cy={y(recorded)} r={10} />}
        </svg>
      </div>
      <figcaption class="quiet">
        Dots: the highest tempo held that day. Crosses: the lowest that failed.
        {recorded !== null && " The ring: the best recording."}
      </figcaption>
    </figure>
  );
}
