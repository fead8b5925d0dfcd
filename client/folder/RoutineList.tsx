/** The routines of the folder: each opened, copied, renamed or put into the bin. */
import { useEffect, useRef, useState } from "preact/hooks";
import type { Entry } from "../../schemas/wire.ts";
import { ask } from "../state/connection.ts";
import { folder, openRoutine } from "../state/opening.ts";
import { said } from "../state/said.ts";
import { opened } from "../state/shown.ts";
import { intoBin, nameAnew, naming, shut } from "./folderOpen.ts";
import { useActions } from "../state/actions.ts";
import { tried } from "./tried.ts";
import { agoWords, sizeWords } from "./words.ts";

export function RoutineList() {
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
