/** The frame of all screens: where one is, what is open, whether it is saved; and what stands in place of a screen. */
import type { ComponentChildren } from "preact";
import { binOpened, FolderPlace, folderOpen, nameAnew } from "./folder/FolderPlace.tsx";
import { HistoryPlace, historyOpen } from "./folder/HistoryPlace.tsx";
import { NewRoutine } from "./folder/NewRoutine.tsx";
import { ActionList, listOpen } from "./parts/ActionList.tsx";
import { Help } from "./parts/Help.tsx";
import { Offers } from "./parts/Offers.tsx";
import { useRolled } from "./parts/rolled.ts";
import { SetUp, setUpOpen } from "./setup/SetUp.tsx";
import { Stripes } from "./rows/Stripes.tsx";
import { SCREEN_VIEWS } from "./screens.ts";
import { access } from "./state/access.ts";
import { useActions } from "./state/actions.ts";
import { link } from "./state/connection.ts";
import { addressOf, goTo, place, SCREENS } from "./state/place.ts";
import { noteNames, theme } from "./state/settings.ts";
import { folder, gone, opened, openTrouble, redo, savedText, undo } from "./state/store.ts";
import { Transport } from "./audio/Transport.tsx";

const SCREEN_WORDS = {
  write: "Write",
  routine: "Routine",
  rehearse: "Rehearse",
  recordings: "Recordings",
  export: "Export",
} as const;

const otherTheme = (): void => {
  theme.value = theme.value === "dark" ? "light" : "dark";
};

const showFolder = (): void => {
  folderOpen.value = folder.value !== null;
};
const showHistory = (): void => {
  historyOpen.value = true;
};

export function App() {
  const { screen, of } = place.value;
  const now = opened.value;
  useRolled(screen, of);
  useActions("Everywhere", [
    ...SCREENS.map((name, index) => ({
      id: `go-${name}`,
      name: `Go to ${SCREEN_WORDS[name]}`,
      keys: [`Alt+${index + 1}`],
      run: () => goTo(name),
    })),
    { id: "undo", name: "Undo", keys: ["Ctrl+z"], run: undo, disabled: () => opened.value?.undo == null },
    {
      id: "redo",
      name: "Redo",
      keys: ["Ctrl+Shift+z", "Ctrl+y"],
      run: redo,
      disabled: () => opened.value?.redo == null,
    },
    {
      id: "set-up",
      name: "Set-up: decks, hands, limits",
      keys: ["Alt+0"],
      run: () => {
        setUpOpen.value = true;
      },
    },
    {
      id: "folder",
      name: "Routines in this folder: open, begin, copy, rename",
      keys: ["Alt+9"],
      run: showFolder,
    },
    {
      id: "copy-routine",
      name: "Copy this routine",
      keys: [],
      run: () => nameAnew("copy"),
      disabled: () => opened.value === null,
    },
    {
      id: "rename-routine",
      name: "Rename this routine",
      keys: [],
      run: () => nameAnew("rename"),
      disabled: () => opened.value === null,
    },
    {
      id: "bin-routine",
      name: "Put this routine into the bin",
      keys: [],
      run: binOpened,
      disabled: () => opened.value === null,
    },
    {
      id: "history",
      name: "What was done, and how it was before",
      keys: ["Alt+8"],
      run: showHistory,
      disabled: () => opened.value === null,
    },
    { id: "theme", name: "Dark or light", keys: [], run: otherTheme },
    {
      id: "note-names",
      name: "Call notes sixteenths or semiquavers",
      keys: [],
      run: () => {
        noteNames.value = noteNames.value === "sixteenth" ? "semiquaver" : "sixteenth";
      },
    },
    {
      id: "list",
      name: "List all actions",
      keys: ["?"],
      run: () => {
        listOpen.value = true;
      },
    },
  ]);
  return (
    <>
      <a
        class="skip"
        href="#content"
        onClick={(event) => {
          event.preventDefault();
          document.getElementById("content")?.focus();
        }}
      >
        To the content
      </a>
      <Stripes />
      <header class="head">
        <nav aria-label="Screens">
          {SCREENS.map((name) => (
            <a key={name} href={addressOf(name)} aria-current={screen === name ? "page" : undefined}>
              {SCREEN_WORDS[name]}
            </a>
          ))}
        </nav>
        <div class="work">
          <h1>
            {folder.value === null ? (
              "Countercut"
            ) : (
              <button
                type="button"
                class="plain"
                title="The routines in this folder"
                aria-haspopup="dialog"
                onClick={showFolder}
              >
                {now?.routine.title ?? "Countercut"}
              </button>
            )}
          </h1>
          <span class="saved" role="status">
            {savedText.value !== "" && <Help term="saved">{savedText.value}</Help>}
          </span>
        </div>
        <div class="tools">
          <button
            type="button"
            class="plain wide"
            aria-haspopup="dialog"
            disabled={folder.value === null}
            title="Open, begin, copy, rename"
            onClick={showFolder}
          >
            Routines
          </button>
          <button
            type="button"
            class="plain wide"
            disabled={now === null}
            title="What was done, and how it was before"
            onClick={showHistory}
          >
            Past
          </button>
          <button
            type="button"
            class="plain"
            disabled={now?.undo == null}
            title={now?.undo ?? ""}
            onClick={undo}
          >
            Undo
          </button>
          <button
            type="button"
            class="plain"
            disabled={now?.redo == null}
            title={now?.redo ?? ""}
            onClick={redo}
          >
            Redo
          </button>
          <button
            type="button"
            class="plain wide"
            disabled={now === null}
            onClick={() => {
              setUpOpen.value = true;
            }}
          >
            Set-up
          </button>
          <button type="button" class="plain wide" onClick={otherTheme}>
            {theme.value === "dark" ? "Light" : "Dark"}
          </button>
          <button
            type="button"
            class="plain"
            onClick={() => {
              listOpen.value = true;
            }}
          >
            Actions
          </button>
        </div>
      </header>
      <Offers />
      <main id="content" tabIndex={-1}>
        {instead() ?? <Screen />}
      </main>
      {access.value === "in" && <Transport />}
      <ActionList />
      <SetUp />
      <FolderPlace />
      <HistoryPlace />
    </>
  );
}

function Screen() {
  const { screen } = place.value;
  const View = SCREEN_VIEWS[screen];
  return <View />;
}

function Notice(props: { title: string; children: ComponentChildren }) {
  return (
    <section class="notice">
      <h2>{props.title}</h2>
      {props.children}
    </section>
  );
}

/** What stands in place of a screen; null where there is something to show. */
function instead() {
  if (access.value === "expired")
    return (
      <Notice title="This link has been used or is too old">
        <p>
          A link works once, within a minute. A page that was let in makes another: <q>Routines</q>, then{" "}
          <q>Another browser on this machine</q>. Or end the program where it runs, with Ctrl-C, and start it
          again: it prints a fresh one.
        </p>
      </Notice>
    );
  if (access.value === "unreachable")
    return (
      <Notice title="The server does not answer">
        <p>
          See whether the program still runs on this machine, start it again if not, then load this page
          again.
        </p>
        <button type="button" onClick={() => location.reload()}>
          Load again
        </button>
      </Notice>
    );
  if (link.value === "other-version")
    return (
      <Notice title="The server is of another version than this page">
        <p>Load the page again to get the one that belongs to the server.</p>
        <button type="button" onClick={() => location.reload()}>
          Load again
        </button>
      </Notice>
    );
  if (openTrouble.value !== null)
    return (
      <Notice title="The routine could not be opened">
        <p>{openTrouble.value}</p>
        <button type="button" onClick={showFolder}>
          Choose another routine
        </button>
      </Notice>
    );
  if (opened.value !== null) return null;
  if (link.value === "offline")
    return (
      <Notice title="No connection to the server">
        <p>
          The page tries again by itself. If the program was ended, start it again with{" "}
          <kbd>countercut serve</kbd>.
        </p>
      </Notice>
    );
  if (gone.value !== null && folder.value !== null && folder.value.routines.length > 0)
    return (
      <Notice title={`${gone.value} is in the bin`}>
        <p>It can be brought back from there. Open another routine, or begin one.</p>
        <button type="button" onClick={showFolder}>
          Routines in this folder
        </button>
      </Notice>
    );
  if (folder.value !== null && folder.value.routines.length === 0)
    return (
      <Notice title="There is no routine in this folder yet">
        <p class="quiet">{folder.value.path}</p>
        <p>Begin with nothing, or with an example, a whole routine to look at and to take apart.</p>
        <NewRoutine done={() => {}} />
        <button type="button" class="plain" onClick={showFolder}>
          Look into the bin
        </button>
      </Notice>
    );
  return (
    <p class="waiting" role="status">
      Opening the routine…
    </p>
  );
}
