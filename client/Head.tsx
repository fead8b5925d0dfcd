/** The head of every screen: where one is, what is open, whether it is saved, and what is reached from everywhere. */
import { useRef } from "preact/hooks";
import { showFolder } from "./folder/folderOpen.ts";
import { showHistory } from "./folder/HistoryPlace.tsx";
import { listOpen } from "./parts/ActionList.tsx";
import { useCovers } from "./parts/covers.ts";
import { Help } from "./parts/Help.tsx";
import { setUpOpen } from "./setup/SetUp.tsx";
import { addressOf, place, SCREEN_WORDS, SCREENS } from "./state/place.ts";
import { otherTheme, theme } from "./state/settings.ts";
import { redo, redoWords, undo, undoWords } from "./state/change.ts";
import { folder } from "./state/opening.ts";
import { savedText } from "./state/saved.ts";
import { opened } from "./state/shown.ts";

export function Head() {
  const { screen } = place.value;
  const now = opened.value;
  const head = useRef<HTMLElement>(null);
  useCovers(head, "--head");
  return (
    <header ref={head} class="head">
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
          disabled={undoWords.value === null}
          title={undoWords.value ?? ""}
          onClick={undo}
        >
          Undo
        </button>
        <button
          type="button"
          class="plain"
          disabled={redoWords.value === null}
          title={redoWords.value ?? ""}
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
  );
}
