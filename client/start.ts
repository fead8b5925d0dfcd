/** The page begins here: it finds its way in while the rest of it is loaded (vite.config.ts has that fetched at once). */
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
import "./style/far.css";
import "./style/folder.css";
import "./style/export.css";
import "./state/noEval.ts";
import { askedFor, comeIn } from "./state/early.ts";

/** Milliseconds that the rest of the page waits at most. */
const LONGEST = 400;

/** This runs as soon as it has come, which may be before the page's own text has. */
const parsed = new Promise<void>((resolve) => {
  if (document.readyState !== "loading") resolve();
  else addEventListener("DOMContentLoaded", () => resolve(), { once: true });
});

void comeIn();
// Running it keeps the page busy for a while: meanwhile the server works out what was asked for.
const soon = Promise.race([askedFor, new Promise((resolve) => setTimeout(resolve, LONGEST))]);
void Promise.all([soon, parsed]).then(() => import("./main.tsx"));
