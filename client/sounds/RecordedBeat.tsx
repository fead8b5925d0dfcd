/** What is played under a beat: nothing yet, or a recording that can be changed for another, or taken away. */
import type { Beat } from "../../schemas/routine.ts";
import { change } from "../state/change.ts";
import { BringSound } from "./BringSound.tsx";
import { type Recorded, recordedFrom } from "./foundTempo.ts";
import { RecordedTempo } from "./RecordedTempo.tsx";

export function RecordedBeat(props: { beat: Beat }) {
  const { beat } = props;
  const name = beat.name ?? beat.id;
  const { recorded } = beat;
  const put = (set: { recorded: Recorded | null; steps?: number }, words: string): void =>
    change({ kind: "change-beat", id: beat.id, set }, words);
  if (recorded === undefined)
    return (
      <BringSound
        words="Play a recording under this beat"
        onSound={async ({ file, sound }) =>
          put(await recordedFrom(beat, file, sound), `Put a recording under ${name}`)
        }
      />
    );
  return (
    <section aria-label="Recording">
      <RecordedTempo beat={beat} recorded={recorded} put={put} />
      <div class="line">
        <button
          type="button"
          class="plain"
          onClick={() => put({ recorded: null }, `Take the recording from ${name}`)}
        >
          Without the recording
        </button>
        <BringSound
          words="Another recording"
          onSound={async ({ file, sound }) =>
            put(await recordedFrom(beat, file, sound), `Put another recording under ${name}`)
          }
        />
      </div>
    </section>
  );
}
