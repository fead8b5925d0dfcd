/** How a phrase pulls against the bar: each published measure with its source, and repeat by repeat. */
import { ColumnHeads } from "../parts/ColumnHeads.tsx";
import { type BarFigures, MEASURES, type MetreFacts } from "../../schemas/metre.ts";
import { Help } from "../parts/Help.tsx";
import { counted, countText, tidy, unitsOfText } from "../parts/music.ts";

type Measure = keyof typeof MEASURES;

/** As many repeats are listed; the one that pulls most always stands among them. */
const MOST_LISTED = 32;

const yesNo = (is: boolean): string => (is ? "yes" : "no");

/** Each measure with its figure, in words. */
function figures({ rhythm, whole }: MetreFacts): readonly (readonly [Measure, string])[] {
  return [
    ["perQuarter", `${tidy(rhythm.perQuarter)} a quarter note`],
    ["filled", `${tidy(100 * rhythm.filled, 0)} % of the pulses`],
    ["evenness", `${tidy(rhythm.evenness, 3)} of 1`],
    ["npvi", rhythm.npvi === null ? "too few sounds" : tidy(rhythm.npvi, 1)],
    ["maximallyEven", yesNo(rhythm.maximallyEven)],
    ["oddity", yesNo(rhythm.oddity)],
    ["deep", yesNo(rhythm.deep)],
    ["distinctIntervals", `${rhythm.distinctIntervals}`],
    ["lhl", `${tidy(whole.lhl)} a bar`],
    ["keith", `${tidy(whole.keith)} a bar`],
    ["keithStarts", `${tidy(whole.keithStarts)} a bar`],
    ["offBeats", `${tidy(whole.offBeats)} a bar`],
    ["wnbd", `${whole.wnbd} a sound`],
    ["complexity", `${tidy(whole.complexity)} a bar`],
  ];
}

const OF_A_REPEAT = ["lhl", "keith", "offBeats", "wnbd"] as const satisfies readonly (keyof BarFigures)[];

/** @param beat units in a beat of the metre, in which places in the bar are counted */
export function MetrePanel(props: { metre: MetreFacts | null; beat: number }) {
  const { metre, beat } = props;
  if (metre === null)
    return (
      <p class="quiet">
        Nothing can be said of its metre: it is silent, or its sounds stand on no grid of up to 192 pulses a
        bar, or it comes round too late.
      </p>
    );
  const { repeats, pullsMost } = metre;
  const most = repeats[pullsMost]!;
  const place = (at: string): string => countText(unitsOfText(at), beat);
  const level = repeats.every(
    ({ lhl, keith, wnbd }) => lhl === most.lhl && keith === most.keith && wnbd === most.wnbd,
  );
  return (
    <section class="metre" aria-label="Against the bar">
      <p>
        <Help term="pull">Against the bar</Help>:{" "}
        {repeats.length === 1
          ? "it stands the same in each bar it starts"
          : level
            ? `all ${repeats.length} repeats pull alike`
            : `of ${repeats.length} repeats number ${pullsMost + 1} pulls most, the one that starts at ${place(most.at)}`}
        ; {tidy(metre.rhythm.perQuarter)} sounds a quarter note, evenness {tidy(metre.rhythm.evenness, 3)},
        syncopation {tidy(metre.whole.lhl)} a bar.
      </p>
      <details>
        <summary>Each measure, and where it is published</summary>
        <div class="scrolls">
          <table>
            <ColumnHeads titles={["Measure", "Figure", "Source"]} />
            <tbody>
              {figures(metre).map(([measure, figure]) => (
                <tr key={measure}>
                  <th scope="row">{MEASURES[measure].name}</th>
                  <td>{figure}</td>
                  <td class="quiet">{MEASURES[measure].source}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      </details>
      {repeats.length > 1 && (
        <details>
          <summary>Repeat by repeat</summary>
          <div class="scrolls">
            <table>
              <thead>
                <tr>
                  <th scope="col">Repeat</th>
                  <th scope="col">Starts at</th>
                  {OF_A_REPEAT.map((measure) => (
                    <th key={measure} scope="col">
                      {MEASURES[measure].name}
                    </th>
                  ))}
                </tr>
              </thead>
              <tbody>
                {repeats.map((repeat, index) =>
                  index < MOST_LISTED || index === pullsMost ? (
                    <tr key={repeat.at} class={index === pullsMost && !level ? "most" : ""}>
                      <th scope="row">{index + 1}</th>
                      <td>{place(repeat.at)}</td>
                      {OF_A_REPEAT.map((measure) => (
                        <td key={measure}>{repeat[measure]}</td>
                      ))}
                      {index === pullsMost && !level && <td>pulls most</td>}
                    </tr>
                  ) : null,
                )}
              </tbody>
            </table>
          </div>
          {repeats.length > MOST_LISTED && (
            <p class="quiet">
              Of {counted(repeats.length, "repeat")} the first {MOST_LISTED} are listed.
            </p>
          )}
        </details>
      )}
    </section>
  );
}
