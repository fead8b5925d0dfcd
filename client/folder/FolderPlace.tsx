/** The routines of the folder, reached by the title in the head: open, begin, copy, rename, to the bin and back. */
import { useEffect, useRef } from "preact/hooks";
import { folder, openRoutine } from "../state/opening.ts";
import { said } from "../state/said.ts";
import { opened } from "../state/shown.ts";
import { useActions } from "../state/actions.ts";
import { Bin } from "./Bin.tsx";
import { begin, BEGINNINGS, NewRoutine } from "./NewRoutine.tsx";
import { makeLink, OtherBrowser } from "./OtherBrowser.tsx";
import { folderOpen, shut } from "./folderOpen.ts";
import { RoutineList } from "./RoutineList.tsx";

export function FolderPlace() {
  const ref = useRef<HTMLDialogElement>(null);
  const open = folderOpen.value && folder.value !== null;
  useEffect(() => {
    if (open && ref.current?.open === false) ref.current.showModal();
    else if (!open) ref.current?.close();
  }, [open]);
  const routines = folder.value?.routines ?? [];
  useActions(
    "Routines",
    [
      ...routines.map(({ name }) => ({
        id: `open-${name}`,
        name: `Open ${name}`,
        keys: [],
        run: () => void openRoutine(name),
        disabled: () => opened.value?.name === name,
      })),
      ...BEGINNINGS.map(({ content, words }) => ({
        id: `begin-${content}`,
        name: `${words}, as a new routine`,
        keys: [],
        run: () =>
          void begin(content).then((why) => {
            if (why !== null) said.value = why;
          }),
      })),
      {
        id: "link",
        name: "Make a link for another browser on this machine",
        keys: [],
        run: () => {
          folderOpen.value = true;
          void makeLink();
        },
      },
    ],
    [routines],
  );
  return (
    <dialog ref={ref} class="folder-place" aria-labelledby="folder-title" onClose={shut}>
      {open && (
        <>
          <div class="line folder-head">
            <h2 id="folder-title">Routines in this folder</h2>
            <button type="button" autofocus onClick={shut}>
              Close
            </button>
          </div>
          <p class="quiet small path">{folder.value?.path}</p>
          <RoutineList />
          <NewRoutine done={shut} />
          <Bin />
          <OtherBrowser />
        </>
      )}
    </dialog>
  );
}
