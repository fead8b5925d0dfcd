/** What can be put in at the spot, above the foot. */
import { signal } from "@preact/signals";
import { MOST_PLAYERS } from "../../schemas/routine.ts";
import { playFrom } from "../audio/transport.ts";
import { NumberField } from "../parts/Fields.tsx";
import { Help } from "../parts/Help.tsx";
import { counted } from "../parts/music.ts";
import { placeText } from "../parts/placeText.ts";
import { opened } from "../state/shown.ts";
import { inTurn } from "../state/turn.ts";
import { chosen } from "./chosen.ts";
import { Landing } from "./Landing.tsx";
import { gapAround } from "./lying.ts";
import { PutIn } from "./PutIn.tsx";
import { cutAtSpot, held, paste } from "./putting.ts";
import { player, spot, spotPlace } from "./spot.ts";

/** The panel to fill the gap is open. */
export const landing = signal(false);

export function SpotPanel() {
  const state = opened.value;
  const here = spot.value;
  const at = spotPlace(state);
  if (state === null || here === null || at === null || chosen.value.length > 0) return null;
  const gap = gapAround(state, at, player.value);
  return (
    <aside class="panel" aria-label="The spot">
      <div class="line">
        <strong>{placeText(state, here)}</strong>
        <button type="button" onClick={() => playFrom(here.section, here.at)}>
          Play from here
        </button>
        <NumberField
          label="Player"
          shown={<Help term="player">Player</Help>}
          value={player.value}
          min={1}
          max={MOST_PLAYERS}
          onValue={(number) => {
            player.value = number;
          }}
        />
        {gap === null ? (
          <button type="button" onClick={() => inTurn(cutAtSpot)}>
            Cut in two here
          </button>
        ) : (
          <button
            type="button"
            aria-expanded={landing.value}
            onClick={() => {
              landing.value = !landing.value;
            }}
          >
            Fill the gap so that it lands
          </button>
        )}
        {held.value.length > 0 && (
          <button type="button" onClick={() => inTurn(paste)}>
            Paste {counted(held.value.length, "phrase")}
          </button>
        )}
        <button
          type="button"
          class="plain"
          onClick={() => {
            spot.value = null;
            landing.value = false;
          }}
        >
          Close
        </button>
      </div>
      {landing.value && gap !== null ? (
        <Landing
          key={`${gap.from} ${gap.to}`}
          gap={gap}
          taken={() => {
            landing.value = false;
          }}
        />
      ) : (
        <PutIn says="Put in:" words />
      )}
    </aside>
  );
}
