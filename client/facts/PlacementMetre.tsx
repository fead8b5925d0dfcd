/** How a placement pulls against the bar, from where it stands. */
import { beatUnits } from "../parts/music.ts";
import { shown } from "../state/shown.ts";
import { MetrePanel } from "./MetrePanel.tsx";

/** @param section its id; @param placement index in the section's list */
export function PlacementMetre(props: { section: string; placement: number }) {
  const state = shown.value;
  const section = state?.routine.sections.find(({ id }) => id === props.section);
  const facts = state?.sectionFacts
    .get(props.section)
    ?.placements.find(({ placement }) => placement === props.placement);
  if (section === undefined || facts === undefined) return null;
  return <MetrePanel metre={facts.metre} beat={beatUnits(section.meter)} />;
}
