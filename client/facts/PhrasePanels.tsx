/** Beside the phrase that is written: how it pulls against the bar, and the way to what is one change away. */
import type { PlacementFacts } from "../../schemas/facts.ts";
import { useActions } from "../state/actions.ts";
import { goTo } from "../state/place.ts";
import { neighboursOf } from "../find/findPlace.ts";
import { shown } from "../state/shown.ts";
import { MetrePanel } from "./MetrePanel.tsx";
import { PartsPanel } from "./PartsPanel.tsx";

export function PhrasePanels(props: { placed: PlacementFacts | undefined; beat: number }) {
  const { placed, beat } = props;
  const walk = (): void => {
    if (placed !== undefined) goTo("write", neighboursOf(placed.pattern));
  };
  useActions(
    "Write",
    [{ id: "w-neighbours", name: "List phrases one change away", keys: ["w"], run: walk }],
    [placed?.pattern],
  );
  if (placed === undefined) return null;
  return (
    <>
      <PartsPanel facts={shown.value?.patternFacts.get(placed.pattern)} />
      <MetrePanel metre={placed.metre} beat={beat} />
      <div class="line">
        <button type="button" onClick={walk}>
          Phrases one change away
        </button>
      </div>
    </>
  );
}
