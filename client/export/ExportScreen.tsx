/** Clips to take away: each alone, by download or dragged out as a file, or all as one zip. */
import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { fetchWithBearer } from "../state/access.ts";
import { opened } from "../state/store.ts";

/** Ticks a quarter note. */
const RESOLUTIONS = ["480", "960", "1920", "exact"] as const;
const ppq = signal<(typeof RESOLUTIONS)[number]>("960");

interface Clip {
  readonly file: string;
  readonly section: string | null;
  readonly strand: string;
  readonly exact: boolean;
}
type List =
  | { readonly state: "loading" }
  | { readonly state: "trouble"; readonly why: string }
  | { readonly state: "there"; readonly clips: readonly Clip[]; readonly exact: boolean };
const list = signal<List>({ state: "loading" });

const base = (name: string): string => `/routines/${encodeURIComponent(name)}`;

async function load(name: string): Promise<void> {
  list.value = { state: "loading" };
  try {
    const answer = await fetchWithBearer(`${base(name)}/clips?ppq=${ppq.value}`);
    if (!answer.ok) {
      list.value = {
        state: "trouble",
        why: `The clips could not be made (${answer.status}). ${(await answer.text()).slice(0, 300)}`,
      };
      return;
    }
    list.value = { state: "there", ...((await answer.json()) as { clips: Clip[]; exact: boolean }) };
  } catch {
    list.value = {
      state: "trouble",
      why: "The server does not answer. See whether it still runs, then try again.",
    };
  }
}

/** A file needs the bearer, so it is fetched and then handed to the browser. */
async function download(path: string, file: string): Promise<void> {
  const answer = await fetchWithBearer(path);
  if (!answer.ok) {
    list.value = { state: "trouble", why: `${file} could not be had (${answer.status}). Try again.` };
    return;
  }
  const address = URL.createObjectURL(await answer.blob());
  const link = document.createElement("a");
  link.href = address;
  link.download = file;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

/** Addresses of clips that were fetched to be dragged out: a drag cannot wait, nor send the bearer. */
const ready = new Map<string, string>();
async function makeReady(path: string): Promise<void> {
  if (ready.has(path)) return;
  ready.set(path, "");
  const answer = await fetchWithBearer(path);
  if (answer.ok) ready.set(path, URL.createObjectURL(await answer.blob()));
  else ready.delete(path);
}
function forgetReady(): void {
  for (const address of ready.values()) if (address !== "") URL.revokeObjectURL(address);
  ready.clear();
}

function dragOut(event: DragEvent, path: string, file: string): void {
  const address = ready.get(path);
  if (address === undefined || address === "" || event.dataTransfer === null) {
    event.preventDefault();
    return;
  }
  event.dataTransfer.effectAllowed = "copy";
  event.dataTransfer.setData("DownloadURL", `audio/midi:${file}:${address}`);
}

export function ExportScreen() {
  const state = opened.value;
  const name = state?.name ?? "";
  const rev = state?.rev ?? 0;
  const resolution = ppq.value;
  useEffect(() => {
    if (name !== "") void load(name);
    return forgetReady;
  }, [name, rev, resolution]);
  if (state === null) return null;
  const now = list.value;
  const file = (clip: string): string => `${base(name)}/clips/${encodeURIComponent(clip)}?ppq=${resolution}`;
  const errors = state.problems.filter(({ severity }) => severity === "error").length;
  return (
    <div class="export">
      <h2>MIDI clips</h2>
      <p>
        One file a section and strand, each starting on its bar with its right length; one file with
        everything; and all of it as one zip with a table of the sections. Drag a file’s name into another
        program or a folder.
      </p>
      <div class="line">
        <label class="field">
          <span>Ticks a quarter note</span>
          <select
            value={resolution}
            onChange={(e) => {
              ppq.value = e.currentTarget.value as typeof resolution;
            }}
          >
            {RESOLUTIONS.map((one) => (
              <option key={one} value={one}>
                {one === "exact" ? "as many as it takes" : one}
              </option>
            ))}
          </select>
        </label>
        <button
          type="button"
          disabled={now.state !== "there"}
          onClick={() => void download(`${base(name)}/clips.zip?ppq=${resolution}`, `${name}.zip`)}
        >
          Download all as a zip
        </button>
      </div>
      {errors > 0 && (
        <p class="trouble">
          The routine has {errors} problems. Mend them in Routine first: clips are made of a routine without
          errors.
        </p>
      )}
      {now.state === "loading" && (
        <p role="status" class="quiet">
          Making the clips…
        </p>
      )}
      {now.state === "trouble" && (
        <p role="alert" class="trouble">
          {now.why}{" "}
          <button type="button" onClick={() => void load(name)}>
            Try again
          </button>
        </p>
      )}
      {now.state === "there" && (
        <>
          <p class={now.exact ? "good" : ""}>
            {now.exact
              ? "Every event falls exactly on a tick."
              : "Some events fall between two ticks, and stand at the nearest: at most half a tick off, never adding up."}
          </p>
          <table>
            <thead>
              <tr>
                <th scope="col">Section</th>
                <th scope="col">Strand</th>
                <th scope="col">File</th>
                <th scope="col">On ticks</th>
              </tr>
            </thead>
            <tbody>
              {now.clips.map((clip) => (
                <tr key={clip.file}>
                  <td>
                    {state.routine.sections.find(({ id }) => id === clip.section)?.name ??
                      clip.section ??
                      "whole routine"}
                  </td>
                  <td>{clip.strand}</td>
                  <td>
                    <button
                      type="button"
                      class="plain"
                      draggable
                      onPointerEnter={() => void makeReady(file(clip.file))}
                      onDragStart={(event) => dragOut(event, file(clip.file), clip.file)}
                      onClick={() => void download(file(clip.file), clip.file)}
                    >
                      {clip.file}
                    </button>
                  </td>
                  <td>{clip.exact ? "exactly" : "nearest"}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </>
      )}
    </div>
  );
}
