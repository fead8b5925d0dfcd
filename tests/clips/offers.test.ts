/** A clip of ours that was changed elsewhere: what is offered brings the routine to what the file says, no further. */
import { describe, expect, it } from "vitest";
import type { Edit } from "../../schemas/edit.ts";
import type { Routine } from "../../schemas/routine.ts";
import { clipFiles } from "../../server/clips/clipFiles.ts";
import { beatOf } from "../../server/clips/read/beat.ts";
import { type MidiContent, readMidi } from "../../server/clips/read/file.ts";
import { beatOffers, patternOffers, tempoOffers } from "../../server/clips/read/offers.ts";
import { patternOf } from "../../server/clips/read/pattern.ts";
import { recognise } from "../../server/clips/read/recognise.ts";
import { tempoMapOf } from "../../server/clips/read/tempoMap.ts";
import { compile } from "../../server/routine/compile.ts";
import { applyEdit } from "../../server/routine/edit.ts";

const harbour: Routine = {
  format: "countercut-routine",
  version: 1,
  title: "Harbour",
  patterns: [
    {
      id: "rope",
      record: { step: "1/16", strokes: [{ move: "forward" }, { move: "back" }, { move: "hold" }] },
      fader: { step: "1/16", cells: [{ fader: "open" }, { fader: "closed" }, { fader: "open" }] },
    },
  ],
  beats: [
    {
      id: "engine",
      step: "1/16",
      steps: 16,
      hits: [
        { key: 36, at: [0, 7] },
        { key: 38, at: [4, 12], velocity: 90 },
      ],
    },
  ],
  sections: [
    {
      id: "pier",
      bars: 4,
      meter: "4/4",
      tempo: 92.5,
      beat: "engine",
      beatRests: [3],
      placements: [{ pattern: "rope", bar: 1 }],
    },
    { id: "buoy", bars: 3, meter: "7/8", tempo: { from: 92.5, to: 101.25 }, placements: [] },
    { id: "quay", bars: 2, meter: "5/4", tempo: 101.25, placements: [] },
  ],
};
const named = (routine: Routine, section: number | null, strand: string | null) =>
  clipFiles(routine, compile(routine)).files.find(
    (file) => file.section === section && file.strand === strand,
  )!;
function read(bytes: Uint8Array): MidiContent {
  const content = readMidi(bytes);
  if ("problem" in content) throw new Error(content.problem);
  return content;
}
function edited(routine: Routine, edit: Edit): Routine {
  const applied = applyEdit(routine, edit);
  if ("refused" in applied) throw new Error(applied.refused);
  return applied.routine;
}
const withBeat = (hits: Routine["beats"][number]["hits"]): Routine => ({
  ...harbour,
  beats: [{ ...harbour.beats[0]!, hits }],
});
function beatRead(content: MidiContent) {
  const result = beatOf(content, { id: "engine", step: "1/16" });
  if ("problem" in result) throw new Error(result.problem);
  return beatOffers(harbour, compile(harbour), "pier", result.beat);
}

describe("a beat", () => {
  it("that says the same is no change, though a bar of it rests", () => {
    const { name, bytes } = named(harbour, 0, "beat");
    expect(recognise(harbour, name, read(bytes))).toEqual({ section: "pier", strand: "beat" });
    expect(recognise(harbour, "renamed.mid", read(bytes))).toEqual({ section: "pier", strand: "beat" });
    expect(recognise(harbour, "renamed.mid", { ...read(bytes), tracks: [] })).toBeNull();
    expect(beatRead(read(bytes)).same).toBe(true);
  });

  it("is known by its file's name alone, which says the section's name and not its id", () => {
    const [pier, buoy, quay] = harbour.sections as [
      Routine["sections"][number],
      Routine["sections"][number],
      Routine["sections"][number],
    ];
    const twins: Routine = {
      ...harbour,
      sections: [
        { ...pier, name: "Quay" },
        { ...buoy, name: "Night watch" },
        { ...quay, beat: "engine", name: "Night Watch!" },
      ],
    };
    for (const [index, id] of ["pier", "buoy", "quay"].entries()) {
      const { name, bytes } = named(twins, index, "fader");
      expect(recognise(twins, name, { ...read(bytes), tracks: [] })).toEqual({
        section: id,
        strand: "fader",
      });
    }
    // Of another number it is the first of that name; of a name that is not there it is nobody's.
    const elsewhere = named(twins, 0, "beat").name.replace(/^01/, "07");
    expect(recognise(twins, elsewhere, read(named(twins, 0, "beat").bytes))?.section).toBe("pier");
    expect(
      recognise(harbour, "01_lost_beat_04bars_092.5bpm_4-4.mid", {
        ...read(named(harbour, 0, "beat").bytes),
        tracks: [],
      }),
    ).toBeNull();
  });

  it("with a hit moved and a velocity changed changes the beat to just that", () => {
    const changed = withBeat([
      { key: 36, at: [0, 8] },
      { key: 38, at: [4, 12], velocity: 70 },
    ]);
    const { offers, same } = beatRead(read(named(changed, 0, "beat").bytes));
    expect(same).toBe(false);
    expect(offers[0]?.words).toBe("Change the beat engine as in the file");
    const after = edited(harbour, offers[0]!.edit);
    expect(after).toEqual(changed);
    expect(Buffer.compare(named(after, 0, "beat").bytes, named(changed, 0, "beat").bytes)).toBe(0);
  });

  it("changed in one of its rounds alone is no such beat any more: it is offered as another", () => {
    const content = read(named(harbour, 0, "beat").bytes);
    const [track] = content.tracks;
    const once = { ...content, tracks: [{ ...track!, notes: track!.notes.slice(1) }] };
    const { offers, same } = beatRead(once);
    expect(same).toBe(false);
    expect(offers.map(({ words }) => words)).toEqual([
      "Add it, and let it play in pier",
      "Add the beat engine",
    ]);
    const after = edited(harbour, offers[0]!.edit);
    expect(after.sections[0]?.beat).toBe("engine-2");
    expect(after.beats[0]).toEqual(harbour.beats[0]);
    // Played, it is the file.
    const again = read(named(after, 0, "beat").bytes).tracks[0]!.notes;
    expect(again.map(({ key, from, velocity }) => [key, from, velocity])).toEqual(
      once.tracks[0]!.notes.map(({ key, from, velocity }) => [key, from, velocity]),
    );
  });
});

it("a phrase that was changed takes the place of those of its section, and sounds as in the file", () => {
  const changed: Routine = {
    ...harbour,
    patterns: [
      { ...harbour.patterns[0]!, record: { step: "1/16", strokes: [{ move: "back" }, { move: "forward" }] } },
    ],
  };
  const result = patternOf(read(named(changed, null, null).bytes), {
    id: "rope",
    step: "1/16",
    forward: 29,
    back: 30,
    fader: { controller: 11 },
    position: { controller: 16, round: 360 },
  });
  if ("problem" in result) throw new Error(result.problem);
  const [played, added] = patternOffers(harbour, "pier", result.pattern);
  expect(added?.words).toBe("Add the phrase rope");
  const heard = (routine: Routine) =>
    compile(routine).sections[0]!.performance.sounds.map(({ start, end, direction }) => ({
      start,
      end,
      direction,
    }));
  const after = edited(harbour, played!.edit);
  expect(after.sections[0]?.placements).toEqual([{ pattern: "rope-2", bar: 1, lasts: { bars: 4 } }]);
  expect(heard(after)).toEqual(heard(changed));
  expect(edited(harbour, added!.edit).sections).toEqual(harbour.sections);
});

describe("a tempo map", () => {
  const mapOf = (routine: Routine, section: number | null, strand: string | null) => {
    const map = tempoMapOf(read(named(routine, section, strand).bytes));
    if ("problem" in map) throw new Error(map.problem);
    return map;
  };

  it("that says the same is no change; a changed tempo, metre or length is one of that section alone", () => {
    expect(tempoOffers(harbour, null, mapOf(harbour, null, null).stretches).same).toBe(true);
    const [pier, buoy, quay] = harbour.sections;
    const changed: Routine = {
      ...harbour,
      sections: [{ ...pier!, tempo: 96 }, buoy!, { ...quay!, meter: "3/4", bars: 5 }],
    };
    const { offers, same } = tempoOffers(harbour, null, mapOf(changed, null, null).stretches);
    expect(same).toBe(false);
    expect(edited(harbour, offers[0]!.edit)).toEqual(changed);
    const one = tempoOffers(harbour, "pier", mapOf(changed, 0, "beat").stretches);
    expect(edited(harbour, one.offers[0]!.edit).sections).toEqual([changed.sections[0], buoy, quay]);
  });

  it("written, brought into another routine and written again, strays by no microsecond a quarter", () => {
    const empty: Routine = {
      ...harbour,
      sections: [{ id: "only", bars: 1, meter: "4/4", tempo: 60, placements: [] }],
    };
    const { stretches } = mapOf(harbour, null, null);
    const added = edited(empty, tempoOffers(empty, null, stretches).offers.at(-1)!.edit);
    const again = { ...added, sections: added.sections.slice(1) };
    const written = (routine: Routine) => read(named(routine, null, null).bytes);
    const [before, after] = [written(harbour), written(again)];
    expect(after.meters).toEqual(before.meters);
    expect(after.tempos.map(({ tick }) => tick)).toEqual(before.tempos.map(({ tick }) => tick));
    expect(before.tempos.length).toBeGreaterThan(40);
    for (const [index, { microseconds }] of before.tempos.entries())
      expect(Math.abs(microseconds - after.tempos[index]!.microseconds)).toBeLessThanOrEqual(1);
  });
});
