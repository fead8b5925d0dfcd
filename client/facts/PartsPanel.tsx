/** What stands in a phrase, and which phrases of the user it resembles. */
import type { Alike, PatternFacts } from "../../schemas/facts.ts";

const HOW: Readonly<Record<Alike["how"], string>> = {
  mirrored: "with forward and back exchanged",
  "another-step": "in another step",
  "mirrored-another-step": "with forward and back exchanged, in another step",
};
/** As many are written out. */
const MOST = 12;

export function PartsPanel(props: { facts: PatternFacts | undefined }) {
  const { parts = [], alike = [] } = props.facts ?? {};
  if (parts.length === 0 && alike.length === 0) return null;
  return (
    <div class="metre">
      {parts.length > 0 && (
        <p>
          Within it:{" "}
          {parts
            .slice(0, MOST)
            .map(({ name, from, to }) => `${name} from step ${from} to ${to}`)
            .join("; ")}
          {parts.length > MOST && ` and ${parts.length - MOST} more`}.
        </p>
      )}
      {alike.length > 0 && (
        <p>The same as {alike.map(({ name, how }) => `${name}, ${HOW[how]}`).join("; ")}.</p>
      )}
    </div>
  );
}
