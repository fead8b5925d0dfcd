/** The frame of all screens: what can be done everywhere, head, screen and foot, and what opens over them. */
import { FolderPlace } from "./folder/FolderPlace.tsx";
import { binOpened, nameAnew, showFolder } from "./folder/folderOpen.ts";
import { HistoryPlace, showHistory } from "./folder/HistoryPlace.tsx";
import { Head } from "./Head.tsx";
import { instead } from "./Instead.tsx";
import { ActionList, listOpen } from "./parts/ActionList.tsx";
import { Offers } from "./parts/Offers.tsx";
import { useRolled } from "./parts/rolled.ts";
import { SetUp, setUpOpen } from "./setup/SetUp.tsx";
import { Stripes } from "./rows/Stripes.tsx";
import { SCREEN_VIEWS } from "./screens.ts";
import { access } from "./state/access.ts";
import { useActions } from "./state/actions.ts";
import { goTo, place, SCREEN_WORDS, SCREENS } from "./state/place.ts";
import { noteNames, otherTheme } from "./state/settings.ts";
import { redo, redoWords, undo, undoWords } from "./state/change.ts";
import { opened } from "./state/shown.ts";
import { Transport } from "./audio/Transport.tsx";

export function App() {
  const { screen, of } = place.value;
  useRolled(screen, of);
  useActions("Everywhere", [
    ...SCREENS.map((name, index) => ({
      id: `go-${name}`,
      name: `Go to ${SCREEN_WORDS[name]}`,
      keys: [`Alt+${index + 1}`],
      run: () => goTo(name),
    })),
    { id: "undo", name: "Undo", keys: ["Ctrl+z"], run: undo, disabled: () => undoWords.value === null },
    {
      id: "redo",
      name: "Redo",
      keys: ["Ctrl+Shift+z", "Ctrl+y"],
      run: redo,
      disabled: () => redoWords.value === null,
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
      name: "Past: what was done, and how it was before",
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
      <Head />
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
