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
import "./style/folder.css";
import "./style/export.css";
import { comeIn } from "./state/early.ts";

void comeIn();
void import("./main.tsx");
