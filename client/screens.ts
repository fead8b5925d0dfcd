/** The view of each screen; one that is left out is said not to be there. */
import type { FunctionComponent } from "preact";
import { ExportScreen } from "./export/ExportScreen.tsx";
import { RecordingsScreen } from "./recordings/RecordingsScreen.tsx";
import { RehearseScreen } from "./rehearse/RehearseScreen.tsx";
import { RoutineScreen } from "./routine/RoutineScreen.tsx";
import type { ScreenName } from "./state/place.ts";
import { WriteScreen } from "./write/WriteScreen.tsx";

export const SCREEN_VIEWS: Readonly<Partial<Record<ScreenName, FunctionComponent>>> = {
  write: WriteScreen,
  routine: RoutineScreen,
  rehearse: RehearseScreen,
  recordings: RecordingsScreen,
  export: ExportScreen,
};
