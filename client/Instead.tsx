/** What stands in place of a screen where there is nothing to show: why, and what to do. */
import type { ComponentChildren } from "preact";
import { showFolder } from "./folder/folderOpen.ts";
import { NewRoutine } from "./folder/NewRoutine.tsx";
import { access } from "./state/access.ts";
import { link } from "./state/connection.ts";
import { folder, gone, openTrouble } from "./state/opening.ts";
import { opened } from "./state/shown.ts";

function Notice(props: { title: string; children: ComponentChildren }) {
  return (
    <section class="notice">
      <h2>{props.title}</h2>
      {props.children}
    </section>
  );
}

/** @returns null where there is something to show */
export function instead() {
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
