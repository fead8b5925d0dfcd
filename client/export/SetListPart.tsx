/** The set list: the routine's sections on paper, and as a table for other programs. */
import { ColumnHeads } from "../parts/ColumnHeads.tsx";
import { clockText, counted } from "../parts/music.ts";
import { isWords } from "../../schemas/routine.ts";
import { useActions } from "../state/actions.ts";
import type { Opened } from "../state/opened.ts";
import { base } from "./clips.ts";
import { FileButton } from "./FileButton.tsx";

export function SetListPart({ state }: { state: Opened }) {
  useActions("Export", [
    { id: "print-set-list", name: "Print the set list", keys: ["Ctrl+p"], run: () => print() },
  ]);
  const { routine, performance, name } = state;
  let bar = 1 + performance.leadInBars;
  return (
    <div class="set-list">
      <div class="line controls">
        <button type="button" onClick={() => print()}>
          Print
        </button>
        <span>
          As a table: <FileButton path={`${base(name)}/sections.csv`} file={`${name}.csv`} type="text/csv" />
        </span>
      </div>
      <h3 class="title">{routine.title}</h3>
      <p>
        {counted(routine.sections.length, "section")}, {clockText(performance.endSeconds)} minutes
        {routine.timeLimit !== undefined && `, of ${clockText(routine.timeLimit)} that are allowed`}
      </p>
      <table>
        <ColumnHeads titles={["From", "Bar", "Section", "Bars", "Tempo", "Metre", "What is played"]} />
        <tbody>
          {routine.sections.map((section, index) => {
            const from = bar;
            bar += section.bars;
            const { tempo } = section;
            return (
              <tr key={section.id}>
                <td>{clockText(performance.sections[index]?.startSeconds ?? 0)}</td>
                <td>{from}</td>
                <th scope="row">{section.name ?? section.id}</th>
                <td>{section.bars}</td>
                <td>{typeof tempo === "number" ? tempo : `${tempo.from} to ${tempo.to}`}</td>
                <td>{section.meter}</td>
                <td>{playedIn(state, index).join(" · ")}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  );
}

/** Phrases and words of a section in the order of its bars, each once. */
function playedIn({ routine }: Opened, index: number): string[] {
  const placements = [...(routine.sections[index]?.placements ?? [])].sort((a, b) => a.bar - b.bar);
  const names = placements.map((placement) =>
    isWords(placement)
      ? `“${placement.words}”`
      : (routine.patterns.find(({ id }) => id === placement.pattern)?.name ?? placement.pattern),
  );
  return [...new Set(names)];
}
