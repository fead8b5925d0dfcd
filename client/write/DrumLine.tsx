/** The hits of one drum, typed. */
import type { Beat, Hit } from "../../schemas/routine.ts";
import { TextField } from "../parts/Fields.tsx";
import { drumName, lineOf, withLine } from "./beatHits.ts";

/** One drum as steps. */
export function DrumLine(props: { beat: Beat; drum: number; keep: (hits: readonly Hit[]) => void }) {
  const { beat, drum } = props;
  const read = (text: string) => withLine(beat.hits, drum, text, beat.steps);
  return (
    <TextField
      label={`${drumName(drum)} (${drum}), at steps`}
      shown={
        <span class="drum">
          {drumName(drum)} ({drum}), at steps
        </span>
      }
      class="entry"
      value={lineOf(beat.hits, drum)}
      placeholder="1 5 9:64"
      read={(text) => {
        const hits = read(text);
        return "trouble" in hits ? null : hits;
      }}
      takes={(text) => {
        const hits = read(text);
        return "trouble" in hits ? hits.trouble : "";
      }}
      onValue={props.keep}
    />
  );
}
