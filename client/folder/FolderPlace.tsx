/** The routines of the folder, reached by the title in the head: open, begin, copy, rename, to the bin and back. */
import { signal } from "@preact/signals";
import { useEffect, useRef, useState } from "preact/hooks";
import type { Entry } from "../../schemas/wire.ts";
import { ask } from "../state/connection.ts";
import { folder, opened, openRoutine, said } from "../state/store.ts";
import { useActions } from "../state/actions.ts";
import { Bin } from "./Bin.tsx";
import { begin, BEGINNINGS, NewRoutine } from "./NewRoutine.tsx";
import { forgetLink, makeLink, OtherBrowser } from "./OtherBrowser.tsx";
import { tried } from "./tried.ts";
import { agoWords, sizeWords } from "./words.ts";

export const folderOpen = signal(false);
export const showFolder = (): void => {
  folderOpen.value = folder.value !== null;
};
/** The routine that is being copied or called otherwise. */
const naming = signal<{ readonly name: string; readonly how: "copy" | "rename" } | null>(null);
/** Opens the folder where a routine is copied or renamed; the open one where none is named. */
export function nameAnew(how: "copy" | "rename", name = opened.value?.name): void {
  if (name === undefined) return;
  naming.value = { name, how };
  folderOpen.value = true;
}
/** It can be brought back from there. @returns why it could not be done, or null */
async function intoBin(name: string): Promise<string | null> {
  const why = await tried(() => ask({ type: "bin", name }));
  if (why === null) said.value = `${name} is in the bin: Routines, above, brings it back.`;
  return why;
}
/** The routine that is open. */
export const binOpened = (): void => {
  const name = opened.value?.name;
  if (name === undefined) return;
  void intoBin(name).then((why) => {
    if (why !== null) said.value = why;
  });
};
const shut = (): void => {
  folderOpen.value = false;
  naming.value = null;
  forgetLink();
};

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

function RoutineList() {
  const routines = folder.value?.routines ?? [];
  const [trouble, setTrouble] = useState<string | null>(null);
  const wanted = naming.value;
  const act = async (what: () => Promise<unknown>, words: string): Promise<void> => {
    const why = await tried(what);
    setTrouble(why);
    if (why === null) {
      naming.value = null;
      said.value = words;
    }
  };
  const bin = (name: string): void => void intoBin(name).then(setTrouble);
  useActions(
    "Routines",
    routines.flatMap(({ name }) => [
      { id: `copy-${name}`, name: `Copy ${name}`, keys: [], run: () => nameAnew("copy", name) },
      { id: `rename-${name}`, name: `Rename ${name}`, keys: [], run: () => nameAnew("rename", name) },
      { id: `bin-${name}`, name: `${name}: to the bin`, keys: [], run: () => bin(name) },
    ]),
    [routines],
  );
  if (routines.length === 0) return <p>There is none yet. Begin one below.</p>;
  return (
    <>
      {trouble !== null && (
        <p class="trouble" role="alert">
          {trouble}
        </p>
      )}
      <ul class="routines" aria-label="Routines">
        {routines.map((one) => (
          <li key={one.name}>
            <Row one={one} />
            <div class="line deeds">
              <button
                type="button"
                class="plain"
                aria-label={`Copy ${one.name}`}
                onClick={() => nameAnew("copy", one.name)}
              >
                Copy
              </button>
              <button
                type="button"
                class="plain"
                aria-label={`Rename ${one.name}`}
                onClick={() => nameAnew("rename", one.name)}
              >
                Rename
              </button>
              <button
                type="button"
                class="plain"
                aria-label={`${one.name}: to the bin`}
                onClick={() => bin(one.name)}
              >
                To the bin
              </button>
            </div>
            {wanted?.name === one.name && (
              <Naming
                key={wanted.how}
                label={
                  wanted.how === "copy" ? `Call the copy of ${one.name}` : `Call ${one.name} from now on`
                }
                start={wanted.how === "copy" ? `${one.name} (copy)` : one.name}
                leave={() => {
                  naming.value = null;
                  setTrouble(null);
                }}
                take={(to) =>
                  void act(
                    () => ask({ type: wanted.how, name: one.name, to }),
                    wanted.how === "copy" ? `${to} is a copy of ${one.name}` : `${one.name} is called ${to}`,
                  )
                }
              />
            )}
          </li>
        ))}
      </ul>
    </>
  );
}

function Row({ one }: { one: Entry }) {
  const here = opened.value?.name === one.name;
  return (
    <button
      type="button"
      class="plain routine"
      aria-current={here ? "true" : undefined}
      onClick={() => {
        shut();
        void openRoutine(one.name);
      }}
    >
      <strong>{one.name}</strong>
      <span class="quiet small">
        {here ? "open now, " : ""}
        {agoWords(one.modified, Date.now())}, {sizeWords(one.bytes)}
      </span>
    </button>
  );
}

function Naming(props: { label: string; start: string; take: (name: string) => void; leave: () => void }) {
  const field = useRef<HTMLInputElement>(null);
  useEffect(() => field.current?.select(), []);
  return (
    <form
      class="line naming"
      onSubmit={(event) => {
        event.preventDefault();
        const name = field.current?.value.trim() ?? "";
        if (name !== "") props.take(name);
      }}
      onKeyDown={(event) => {
        if (event.key !== "Escape") return;
        event.preventDefault();
        event.stopPropagation();
        props.leave();
      }}
    >
      <label class="field">
        <span>{props.label}</span>
        <input ref={field} type="text" maxLength={200} defaultValue={props.start} />
      </label>
      <button type="submit">Do it</button>
      <button type="button" class="plain" onClick={props.leave}>
        Leave it
      </button>
    </form>
  );
}
