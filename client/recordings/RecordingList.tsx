/** The recordings of the routine, each to be opened or put away. */
import { busy, keptTrouble, lines, loadLines, show, shownRecording, toBin, unread } from "./kept.ts";
import { lateText, spreadText } from "./summary.ts";

const HOW = { microphone: "input", file: "file", keys: "keys", notes: "MIDI notes" } as const;

export function RecordingList() {
  const all = lines.value;
  return (
    <section aria-labelledby="list-head">
      <h2 id="list-head">Recordings</h2>
      {all === null &&
        (keptTrouble.value === null ? (
          <p role="status" class="quiet">
            Looking into the folder…
          </p>
        ) : (
          <button type="button" onClick={() => void loadLines()}>
            Look into the folder again
          </button>
        ))}
      {all?.length === 0 && (
        <p>
          There is no recording of this routine yet. Choose what you play and with what, then press Record, or
          the key R.
        </p>
      )}
      {unread.value > 0 && (
        <p class="warn">{unread.value} notes of recordings could not be read; they are left as they are.</p>
      )}
      {all !== null && all.length > 0 && (
        <table>
          <thead>
            <tr>
              <th scope="col">When</th>
              <th scope="col">What</th>
              <th scope="col" class="wide">
                By
              </th>
              <th scope="col">Spread</th>
              <th scope="col" class="wide">
                As a whole
              </th>
              <th scope="col">
                <span class="unseen">Put away</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {all.map((line) => (
              <tr key={line.id} aria-current={shownRecording.value?.id === line.id ? "true" : undefined}>
                <td>
                  {new Date(line.at).toLocaleString("en-GB", { dateStyle: "medium", timeStyle: "short" })}
                </td>
                <td>
                  <button
                    type="button"
                    class="plain"
                    disabled={busy.value !== null}
                    onClick={() => void show(line.id)}
                  >
                    {line.title}
                    {line.speed !== 1 && `, ${Math.round(line.speed * 100)} %`}
                    {line.stopped === true && ", stopped early"}
                  </button>
                </td>
                <td class="wide">{HOW[line.by]}</td>
                <td>{(line.result && spreadText(line.result)) ?? "–"}</td>
                <td class="wide">{line.result?.lagMs == null ? "–" : lateText(line.result.lagMs)}</td>
                <td>
                  <button
                    type="button"
                    aria-label={`To the bin: ${line.title}`}
                    onClick={() => void toBin(line.id)}
                  >
                    To the bin
                  </button>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}
