/** The routines of the folder, reached by the title in the head: open, begin, copy, rename, to the bin and back. */
import { folder, openRoutine } from "../state/opening.ts";
import { said } from "../state/said.ts";
import { opened } from "../state/shown.ts";
import { useActions } from "../state/actions.ts";
import { useModal } from "../parts/modal.ts";
import { Bin } from "./Bin.tsx";
import { begin, BEGINNINGS, NewRoutine } from "./NewRoutine.tsx";
import { makeLink, OtherBrowser } from "./OtherBrowser.tsx";
import { folderOpen, shut } from "./folderOpen.ts";
import { RoutineList } from "./RoutineList.tsx";

const isOpen = (): boolean => folderOpen.value && folder.value !== null;

export function FolderPlace() {
  const modal = useModal(isOpen, shut);
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
    <dialog {...modal} class="folder-place" aria-labelledby="folder-title">
      {isOpen() && (
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
