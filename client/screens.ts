/** The view of each screen. The one that a page begins with is loaded with it. */
import type { FunctionComponent } from "preact";
import { later } from "./parts/later.tsx";
import { RoutineScreen } from "./routine/RoutineScreen.tsx";
import type { ScreenName } from "./state/place.ts";

export const SCREEN_VIEWS: Readonly<Record<ScreenName, FunctionComponent>> = {
  write: later(async () => (await import("./write/WriteScreen.tsx")).WriteScreen),
  routine: RoutineScreen,
  rehearse: later(async () => (await import("./rehearse/RehearseScreen.tsx")).RehearseScreen),
  recordings: later(async () => (await import("./recordings/RecordingsScreen.tsx")).RecordingsScreen),
  export: later(async () => (await import("./export/ExportScreen.tsx")).ExportScreen),
};
