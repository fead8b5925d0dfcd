/** The page begins here. */
import { render } from "preact";
import { config } from "zod";
import "./style/tokens.css";
import "./style/base.css";
import "./style/shell.css";
import "./style/rows.css";
import "./style/screens.css";
import "./style/sounds.css";
import "./style/write.css";
import "./style/find.css";
import "./style/routine.css";
import "./style/setup.css";
import "./style/rehearse.css";
import "./style/recordings.css";
import "./style/folder.css";
import "./style/export.css";
import { App } from "./App.tsx";
import "./audio/follow.ts";
import { takeDrops } from "./phrases/files.ts";
import { access, enter } from "./state/access.ts";
import { listenToKeys } from "./state/actions.ts";
import { connect, link } from "./state/connection.ts";

// Our Content-Security-Policy forbids code made from text, which zod would try for speed.
config({ jitless: true });

const root = document.getElementById("app");
if (root !== null) {
  root.textContent = "";
  render(<App />, root);
}
listenToKeys();
takeDrops();
const comeIn = (): Promise<void> =>
  enter().then(() => {
    if (access.value === "in" && link.value !== "open") connect();
  });
void comeIn();
// A fresh link opened where the page already stands changes the address alone: the page is not loaded again.
addEventListener("hashchange", () => {
  if (location.hash.startsWith("#t=")) void comeIn();
});
