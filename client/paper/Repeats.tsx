/** Where each repeat of a section's phrases starts in the bar, until it comes round. */
import { ColumnHeads } from "../parts/ColumnHeads.tsx";
import type { SectionFacts } from "../../schemas/facts.ts";
import type { Routine, Section } from "../../schemas/routine.ts";
import { whose } from "../rows/words.ts";
import { beatUnits, counted, countText, unitsOfText } from "../parts/music.ts";

/** More starts than these are not listed: they go on the same way. */
const MOST = 48;

export function Repeats(props: { section: Section; facts: SectionFacts | undefined; routine: Routine }) {
  const { section, facts, routine } = props;
  if (facts === undefined || facts.placements.length === 0) return null;
  const beat = beatUnits(section.meter);
  return (
    <table class="repeats">
      <caption>Repeats: the beat of the bar on which each starts</caption>
      <ColumnHeads titles={["Phrase", "From bar", "Comes round after", "Starts", "Lands"]} />
      <tbody>
        {facts.placements.map((one) => {
          const placement = section.placements[one.placement];
          const name = routine.patterns.find(({ id }) => id === one.pattern)?.name ?? one.pattern;
          // A placement that ends before it comes round has no further repeats.
          const played = Math.max(1, one.repeats + (one.landing.steps === "0" ? 0 : 1));
          const starts = one.repeatStarts.slice(0, Math.min(MOST, played));
          const more = Math.min(played, one.comeRoundRepeats) - starts.length;
          return (
            <tr key={one.placement}>
              <th scope="row">
                {whose(placement?.player ?? 1, [1])}
                {name}
                {one.names.length > 0 && ` (${one.names.join(", ")})`}
              </th>
              <td>{placement?.bar}</td>
              <td>
                {counted(one.comeRoundBars, "bar")}, {counted(one.comeRoundRepeats, "repeat")}
              </td>
              <td>
                {starts.map((start) => countText(unitsOfText(start), beat)).join(" · ")}
                {more > 0 && ` · and ${more} more`}
              </td>
              <td>{one.landing.steps === "0" ? "yes" : `${one.landing.steps} steps over`}</td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}
