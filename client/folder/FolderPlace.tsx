/** The routines of the folder, reached by the title in the head: open, begin, copy, rename, to the bin and back. */
import { signal } from "@preact/signals";
import { useEffect, useRef, useState } from "preact/hooks";
import type { Binned, Entry } from "../../schemas/wire.ts";
import { ask } from "../state/connection.ts";
import { folder, opened, openRoutine, said } from "../state/store.ts";
import { agoWords, sizeWords } from "./words.ts";
import { NewRoutine } from "./NewRoutine.tsx";
import { OtherBrowser } from "./OtherBrowser.tsx";
import { tried } from "./tried.ts";

export const folderOpen = signal(false);
/** The routine that is being copied or called otherwise. */
const naming = signal<{ readonly name: string; readonly how: "copy" | "rename" } | null>(null);
/** Opens the folder where the open routine is copied or renamed. */
export function nameAnew(how: "copy" | "rename"): void {
  const name = opened.value?.name;
  if (name === undefined) return;
  naming.value = { name, how };
  folderOpen.value = true;
}
const shut = (): void => {
  folderOpen.value = false;
  naming.value = null;
};

export function FolderPlace() {
  const ref = useRef<HTMLDialogElement>(null);
  const open = folderOpen.value && folder.value !== null;
  useEffect(() => {
    if (open && ref.current?.open === false) ref.current.showModal();
    else if (!open) ref.current?.close();
  }, [open]);
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
                onClick={() => {
                  naming.value = { name: one.name, how: "copy" };
                }}
              >
                Copy
              </button>
              <button
                type="button"
                class="plain"
                aria-label={`Rename ${one.name}`}
                onClick={() => {
                  naming.value = { name: one.name, how: "rename" };
                }}
              >
                Rename
              </button>
              <button
                type="button"
                class="plain"
                aria-label={`${one.name}: to the bin`}
                onClick={() =>
                  void act(() => ask({ type: "bin", name: one.name }), `${one.name} is in the bin`)
                }
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

function Bin() {
  const [lies, setLies] = useState<readonly Binned[]>([]);
  const [trouble, setTrouble] = useState<string | null>(null);
  const routines = folder.value?.routines;
  // The bin changes only as the folder does.
  useEffect(() => {
    void tried(async () => setLies((await ask<"binned">({ type: "binned" })).routines)).then(setTrouble);
  }, [routines]);
  const bringBack = (place: string): void =>
    void tried(async () => {
      const { name } = await ask<"done">({ type: "bring-back", place });
      said.value = `${name ?? "It"} is back in the folder`;
    }).then(setTrouble);
  return (
    <details class="bin">
      <summary>
        In the bin:{" "}
        {lies.length === 0 ? "nothing" : lies.length === 1 ? "1 routine" : `${lies.length} routines`}
      </summary>
      {trouble !== null && (
        <p class="trouble" role="alert">
          {trouble}
        </p>
      )}
      {lies.length === 0 ? (
        <p class="quiet">
          What you put into the bin lies here until you bring it back. Nothing is destroyed.
        </p>
      ) : (
        <ul class="routines" aria-label="In the bin">
          {lies.map(({ place, name, bytes }) => (
            <li key={place} class="line">
              <span>
                <strong>{name}</strong>{" "}
                <span class="quiet small">
                  since {place.slice(0, 10)}, {sizeWords(bytes)}
                </span>
              </span>
              <button
                type="button"
                class="plain"
                aria-label={`Bring back ${name}, in the bin since ${place.slice(0, 10)}`}
                onClick={() => bringBack(place)}
              >
                Bring back
              </button>
            </li>
          ))}
        </ul>
      )}
    </details>
  );
}
