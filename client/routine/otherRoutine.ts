/** What is chosen, open or pointed at belongs to one routine: another one is met with nothing in hand. */
import { batch, effect } from "@preact/signals";
import { opened } from "../state/shown.ts";
import { chooseNone } from "./chosen.ts";
import { openJoin } from "./JoinMarks.tsx";
import { formsOpen } from "./sections.ts";
import { landing } from "./SpotPanel.tsx";
import { player, spot } from "./spot.ts";

let met: string | undefined;
effect(() => {
  const name = opened.value?.name;
  if (name === undefined || name === met) return;
  met = name;
  batch(() => {
    chooseNone();
    spot.value = null;
    player.value = 1;
    landing.value = false;
    openJoin.value = null;
    formsOpen.value = new Set();
  });
});
