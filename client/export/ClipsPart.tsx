/** MIDI clips to take away: the mapping, each file, all of them as a zip, and the folder that is kept fresh. */
import { useEffect } from "preact/hooks";
import type { Opened } from "../state/opened.ts";
import { Waiting } from "../parts/Waiting.tsx";
import { useActions } from "../state/actions.ts";
import { ClipTable } from "./ClipTable.tsx";
import { base, clipsOf, loadClips, stopClips } from "./clips.ts";
import { FreshFolder } from "./FreshFolder.tsx";
import { MappingEditor } from "./MappingEditor.tsx";
import { download, forgetReady, takeTrouble } from "./take.ts";

export function ClipsPart({ state }: { state: Opened }) {
  const { name, rev, routine } = state;
  useEffect(() => {
    void loadClips(name);
    return forgetReady;
  }, [name, rev]);
  useEffect(() => stopClips, []);
  const zip = (): void => void download(`${base(name)}/clips.zip`, `${name}.zip`);
  useActions(
    "Export",
    [
      { id: "clips-zip", name: "Download all clips as a zip", keys: [], run: zip },
      {
        id: "clips-csv",
        name: "Download the table of sections",
        keys: [],
        run: () => void download(`${base(name)}/sections.csv`, `${name}.csv`),
      },
      {
        id: "clips-stop",
        name: "Stop making the clips",
        keys: [],
        run: stopClips,
        disabled: () => clipsOf(name).state !== "loading",
      },
    ],
    [name],
  );
  const now = clipsOf(name);
  const errors = state.problems.filter(({ severity }) => severity === "error").length;
  return (
    <>
      <p>
        One file a section and strand, each starting on its bar with its right length, one file with
        everything, and all of it as one zip with a table of the sections. Drag a file’s name into another
        program or a folder.
      </p>
      <MappingEditor routine={routine} />
      <FreshFolder name={name} />
      <h3>Files</h3>
      <div class="line">
        <button type="button" disabled={now.state !== "there"} onClick={zip}>
          Download all as a zip
        </button>
        {now.state === "there" && (
          <span class={now.exact ? "good" : "quiet"}>
            {now.ppq} ticks a quarter.{" "}
            {now.exact
              ? "Every event falls exactly on a tick."
              : "Some events fall between two ticks, and stand at the nearest: at most half a tick off, never adding up."}
            {now.leftOut > 0 &&
              ` ${now.leftOut} notes had no room: they follow another of their key within two ticks. Take more ticks, or other keys.`}
          </span>
        )}
      </div>
      {errors > 0 && (
        <p class="trouble">
          The routine has {errors} {errors === 1 ? "problem" : "problems"}. What they concern is in no clip:
          mend them on the Routine screen first.
        </p>
      )}
      {takeTrouble.value !== null && (
        <p role="alert" class="trouble">
          {takeTrouble.value}
        </p>
      )}
      {now.state === "loading" && <Waiting words="Making the clips" done={now.done} onStop={stopClips} />}
      {now.state === "stopped" && (
        <p role="status">
          Stopped: no clips were made.{" "}
          <button type="button" onClick={() => void loadClips(name)}>
            Make them
          </button>
        </p>
      )}
      {now.state === "trouble" && (
        <p role="alert" class="trouble">
          {now.why}{" "}
          <button type="button" onClick={() => void loadClips(name)}>
            Try again
          </button>
        </p>
      )}
      {now.state === "there" && <ClipTable name={name} routine={routine} clips={now.clips} time={now.time} />}
    </>
  );
}
