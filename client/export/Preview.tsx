/** What a MIDI file would be: a beat, a phrase or a tempo map, before anything is changed. */
import { ColumnHeads } from "../parts/ColumnHeads.tsx";
import { keyWords } from "../parts/keys.ts";
import { counted, tidy } from "../parts/music.ts";
import { middleC } from "../state/settings.ts";
import type { Understood } from "./bring.ts";

/** Steps that are drawn; the rest is counted. */
const MOST_STEPS = 64;

function BeatPreview({ steps, hits }: NonNullable<Understood["beat"]>) {
  const keys = [...new Set(hits.map(({ key }) => key))].sort((a, b) => b - a);
  const shownSteps = Math.min(steps, MOST_STEPS);
  return (
    <>
      <p>
        {counted(steps, "step")},{" "}
        {counted(
          hits.reduce((sum, { at }) => sum + at.length, 0),
          "hit",
        )}
        {steps > MOST_STEPS && `; the first ${MOST_STEPS} are shown`}
      </p>
      <table class="preview">
        <tbody>
          {keys.map((key) => {
            const at = new Set(hits.filter((hit) => hit.key === key).flatMap((hit) => hit.at));
            return (
              <tr key={key}>
                <th scope="row">{keyWords(key, middleC.value, true)}</th>
                <td>
                  <svg
                    width={shownSteps * 8}
                    height="12"
                    role="img"
                    aria-label={`steps ${[...at].map((one) => one + 1).join(", ")}`}
                  >
                    {Array.from({ length: shownSteps }, (_, step) => (
                      <rect
                        key={step}
                        x={step * 8 + 1}
                        y={at.has(step) ? 1 : 9}
                        width="6"
                        height={at.has(step) ? 10 : 2}
                      />
                    ))}
                  </svg>
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </>
  );
}

function PatternPreview({ record, fader }: NonNullable<Understood["pattern"]>) {
  const line = (list: readonly { length?: number; word: string }[]): string =>
    list.map(({ length = 1, word }) => (length === 1 ? word : `${word} for ${length}`)).join(", ");
  return (
    <dl class="preview">
      <dt>Record hand, {counted(record.strokes.length, "stroke")}</dt>
      <dd>
        {line(
          record.strokes.map(({ move, length }) => ({
            word: move,
            ...(length === undefined ? {} : { length }),
          })),
        )}
      </dd>
      <dt>Fader hand, {counted(fader.cells.length, "cell")}</dt>
      <dd>
        {line(
          fader.cells.map((cell) => ({
            word: cell.fader,
            ...(cell.length === undefined ? {} : { length: cell.length }),
          })),
        )}
      </dd>
    </dl>
  );
}

function TempoPreview({ stretches }: { stretches: NonNullable<Understood["stretches"]> }) {
  return (
    <table class="preview">
      <ColumnHeads titles={["Marker", "Bars", "Metre", "Tempo"]} />
      <tbody>
        {stretches.map(({ name, bars, meter, tempo }, index) => (
          <tr key={index}>
            <td>{name ?? ""}</td>
            <td>{bars}</td>
            <td>{meter}</td>
            <td>
              {typeof tempo === "number" ? tidy(tempo, 4) : `${tidy(tempo.from, 3)} to ${tidy(tempo.to, 3)}`}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

export function Preview({ is }: { is: Understood }) {
  const { beat, pattern, stretches, error = 0, leftOut = [], problem } = is;
  if (problem !== undefined) return <p class="warn">{problem}</p>;
  return (
    <>
      {beat !== undefined && <BeatPreview {...beat} />}
      {pattern !== undefined && <PatternPreview {...pattern} />}
      {stretches !== undefined && <TempoPreview stretches={stretches} />}
      <p class={error === 0 ? "good" : ""}>
        {error === 0
          ? "Everything stands exactly where the file has it."
          : stretches === undefined
            ? `The furthest that something was moved to its step: ${tidy(100 * error, 1)} percent of a step.`
            : `The furthest that a tempo strays from the file’s: ${tidy(error, 2)} microseconds a quarter.`}
      </p>
      {leftOut.length > 0 && (
        <ul class="warn">
          {leftOut.map((one) => (
            <li key={one}>{one}</li>
          ))}
        </ul>
      )}
    </>
  );
}
