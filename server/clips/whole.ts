/** The whole routine as tracks: the tempo map with metres and a marker at each section's start, then a track a strand. */
import type { Section } from "../../schemas/routine.ts";
import type { Units } from "../../schemas/units.ts";
import { called } from "../routine/called.ts";
import { startingTempo } from "../time/tempo.ts";
import { contentOf, noHands } from "./content.ts";
import { Events } from "./events.ts";
import type { Making } from "./making.ts";
import type { Track } from "./midiFile.ts";
import { addStrand } from "./strands.ts";
import { addMarker, addMeter, addName, addTempo } from "./tempo.ts";

export function wholeTracks(making: Making, tell: (done: number) => void): Track[] {
  const { routine, performance, encoding, voices, windows, clock } = making;
  const end = clock.tick(performance.end, "straight");
  const content = contentOf(routine, performance, routine.sections.keys(), 0);
  const meters = windows.map(({ index, from, to }) => ({
    from,
    to,
    meter: (routine.sections[Math.max(0, index)] as Section).meter,
  }));
  const tracks = voices.map(({ strand, player, word }, index): Track => {
    tell(index / voices.length);
    const events = new Events();
    addName(events, word);
    addStrand(
      strand,
      {
        encoding,
        clock,
        meters,
        window: { from: 0, to: performance.end },
        player: content.players.get(player) ?? noHands(player),
        beat: content.beat,
        // The state at each window's start is said again there.
        curves: () =>
          windows.map((window) => ({
            at: clock.tick(window.from, "straight"),
            curve: making.curve(window, player),
          })),
      },
      events,
    );
    return { events, end };
  });
  return [{ events: tempoMap(making), end }, ...tracks];
}

function tempoMap({ routine, performance, ppq, clock }: Making): Events {
  const events = new Events();
  addName(events, routine.title);
  const first = routine.sections[0] as Section;
  let meter = "";
  if (performance.leadInBars > 0) {
    addTempo(events, { tempo: startingTempo(first.tempo) }, 0 as Units, 0, ppq);
    addMeter(events, 0, first.meter);
    addMarker(events, 0, "Lead-in");
    meter = first.meter;
  }
  for (const [index, { start, performance: own }] of performance.sections.entries()) {
    const section = routine.sections[index] as Section;
    const tick = clock.tick(start, "straight");
    addTempo(events, section, own.length, tick, ppq);
    if (meter !== section.meter) addMeter(events, tick, section.meter);
    meter = section.meter;
    addMarker(events, tick, called(section));
  }
  return events;
}
