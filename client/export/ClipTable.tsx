/** The clips, a section at a time: each a file to take away or to look into. */
import { useSignal } from "@preact/signals";
import type { Routine } from "../../schemas/routine.ts";
import { ClipEvents } from "./ClipEvents.tsx";
import { type Clip, clipPath } from "./clips.ts";
import { FileButton } from "./FileButton.tsx";

interface Group {
  readonly title: string;
  readonly clips: readonly Clip[];
}

function grouped(clips: readonly Clip[], routine: Routine): Group[] {
  const groups = new Map<string, Clip[]>();
  for (const clip of clips) {
    const name = routine.sections.find(({ id }) => id === clip.section)?.name ?? clip.section;
    const title = name ?? (clip.strand === "routine" ? "The whole routine" : "Lead-in");
    groups.set(title, [...(groups.get(title) ?? []), clip]);
  }
  const all = [...groups].map(([title, list]) => ({ title, clips: list }));
  // The whole first: most take it alone.
  return [...all.slice(-1), ...all.slice(0, -1)];
}

export function ClipTable(props: { name: string; routine: Routine; clips: readonly Clip[]; time: number }) {
  const { name, routine, clips, time } = props;
  const looked = useSignal<string | null>(null);
  return (
    <table class="clips">
      <thead>
        <tr>
          <th scope="col">Section</th>
          <th scope="col">Strand</th>
          <th scope="col">File</th>
          <th scope="col">On ticks</th>
          <th scope="col">
            <span class="unseen">Events</span>
          </th>
        </tr>
      </thead>
      <tbody>
        {grouped(clips, routine).map(({ title, clips: list }) =>
          list.map((clip, index) => (
            <>
              <tr key={clip.file}>
                {index === 0 && (
                  <th
                    scope="rowgroup"
                    rowSpan={list.length + (list.some((one) => one.file === looked.value) ? 1 : 0)}
                  >
                    {title}
                  </th>
                )}
                <td>
                  {clip.strand === "routine" ? "all" : clip.strand}
                  {clip.player !== null &&
                    clips.some((one) => (one.player ?? 1) > 1) &&
                    `, player ${clip.player}`}
                </td>
                <td>
                  <FileButton path={clipPath(name, clip.file)} file={clip.file} type="audio/midi" />
                </td>
                <td>{clip.exact ? "exactly" : "nearest"}</td>
                <td>
                  <button
                    type="button"
                    class="plain"
                    aria-expanded={looked.value === clip.file}
                    aria-label={`Events of ${clip.file}`}
                    onClick={() => {
                      looked.value = looked.value === clip.file ? null : clip.file;
                    }}
                  >
                    Events
                  </button>
                </td>
              </tr>
              {looked.value === clip.file && (
                <tr key={`${clip.file} events`}>
                  <td colSpan={4}>
                    <ClipEvents name={name} file={clip.file} time={time} />
                  </td>
                </tr>
              )}
            </>
          )),
        )}
      </tbody>
    </table>
  );
}
