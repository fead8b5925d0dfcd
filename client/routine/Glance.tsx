/** The whole routine in one glance: its length against the limit, tempo and density over time; a press leads there. */
import { ColumnHeads } from "../parts/ColumnHeads.tsx";
import { useMemo, useState } from "preact/hooks";
import { clockText, tidy } from "../parts/music.ts";
import { useActions } from "../state/actions.ts";
import { shown } from "../state/shown.ts";
import { chooseNone } from "./chosen.ts";
import { CourseChart } from "./CourseChart.tsx";
import { type Course, courseOf } from "./course.ts";
import { reveal } from "./reveal.ts";
import { spot } from "./spot.ts";

export function Glance({ width }: { width: number }) {
  const state = shown.value;
  const performance = state?.performance;
  const course = useMemo(() => (state === null ? null : courseOf(state)), [performance, state?.routine]);
  // Five hundred choices and rows are drawn when they are wanted.
  const [listed, setListed] = useState(false);
  const [tabled, setTabled] = useState(false);
  const sections = course?.stretches ?? [];
  useActions(
    "Go to section",
    sections.map(({ id, name }) => ({
      id: `go-${id}`,
      name: `Go to section ${name}`,
      keys: [],
      run: () => go(id),
    })),
    [sections.map(({ id, name }) => `${id} ${name}`).join("\n")],
  );
  if (state === null || course === null || width < 100) return null;
  // One section with nothing in it is seen at a glance without this.
  if (sections.length === 1 && sections[0]?.sounds === 0) return null;
  return (
    <details class="glance" open>
      <summary>The whole routine</summary>
      {course.stretches.some(({ sounds }) => sounds > 0) && (
        <CourseChart course={course} limit={state.routine.timeLimit ?? null} width={width} onPress={go} />
      )}
      <div class="line">
        <label class="field">
          <span>Go to section</span>
          <select
            value=""
            onPointerEnter={() => setListed(true)}
            onFocus={() => setListed(true)}
            onChange={(event) => go(event.currentTarget.value)}
          >
            <option value="">choose…</option>
            {(listed ? course.stretches : []).map(({ id, name, from }) => (
              <option key={id} value={id}>
                {clockText(from)} {name}
              </option>
            ))}
          </select>
        </label>
        <details onToggle={(event) => setTabled(event.currentTarget.open)}>
          <summary>The chart as a table</summary>
          {tabled && <Table course={course} />}
        </details>
      </div>
    </details>
  );
}

function go(section: string): void {
  if (section === "") return;
  // What is put in next goes there, and not behind what was chosen.
  chooseNone();
  spot.value = { section, at: 0 };
  reveal(section, 0);
}

function Table({ course }: { course: Course }) {
  return (
    <table>
      <ColumnHeads titles={["Section", "Starts", "Seconds", "Tempo", "Sounds a second"]} />
      <tbody>
        {course.stretches.map(({ id, name, from, to, tempo, sounds }) => (
          <tr key={id}>
            <th scope="row">{name}</th>
            <td>{clockText(from)}</td>
            <td>{tidy(to - from, 1)}</td>
            <td>{tempo[0] === tempo[1] ? tempo[0] : `${tempo[0]} to ${tempo[1]}`}</td>
            <td>{tidy(sounds / Math.max(0.001, to - from), 1)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
