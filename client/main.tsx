/** The page itself; what is needed before it is loaded stands in start.ts. */
import { render } from "preact";
// First: whoever else listens to the server finds the routine and the folder as they are then.
import "./state/fromServer.ts";
import { App } from "./App.tsx";
import "./audio/follow.ts";
import { takeDrops } from "./phrases/files.ts";
import { access, enter } from "./state/access.ts";
import { listenToKeys } from "./state/actions.ts";
import { connect, link } from "./state/connection.ts";
import { comeIn } from "./state/early.ts";
import { loadTheRest } from "./parts/later.tsx";

const connectIn = (): void => {
  if (access.value === "in" && link.value !== "open") connect();
};
void comeIn().then((how) => {
  access.value = how;
  // What came already is read before anything is drawn.
  connectIn();
  const root = document.getElementById("app");
  if (root !== null) {
    root.textContent = "";
    render(<App />, root);
  }
  listenToKeys();
  takeDrops();
  loadTheRest();
});
// A fresh link opened where the page already stands changes the address alone: the page is not loaded again.
addEventListener("hashchange", () => {
  if (location.hash.startsWith("#t=")) void enter().then(connectIn);
});
