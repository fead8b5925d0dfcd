/** Clips of random routines by random mappings: two readers that are not ours and the program's own account agree. */
import fc from "fast-check";
import { parseMidi } from "midi-file";
import { expect, test } from "vitest";
import { encodingOf, Mapping, OUR_MAPPINGS } from "../../schemas/mapping.ts";
import type { Routine } from "../../schemas/routine.ts";
import { accountOf } from "../../server/clips/account.ts";
import { clipFiles } from "../../server/clips/clipFiles.ts";
import { NoExactResolution } from "../../server/clips/making.ts";
import { createCompiler } from "../../server/routine/compile.ts";
import { checkRoutine } from "../../server/routine/check.ts";
import { applyEdit } from "../../server/routine/edit.ts";
import { parseRoutine } from "../../server/routine/parse.ts";
import { writeRoutine } from "../../server/routine/write.ts";
import { expectLaws, ticksOf } from "../clips/laws.ts";
import { type ReadFile, readWithMidicsv, readWithMido } from "../clips/read.ts";
import { holds } from "../reference/laws.ts";
import { type Draw, drawRoutine, routines } from "../reference/random.ts";
import { drawEdit } from "../reference/randomEdit.ts";
import { mappings } from "../reference/randomMapping.ts";

const compile = createCompiler();

/** Channel messages as midi-file, mido and midicsv each tell them, in one form: tick, kind, channel, numbers. */
const KINDS: Readonly<Record<string, string>> = {
  noteOn: "on",
  noteOff: "off",
  controller: "control",
  pitchBend: "bend",
  note_on: "on",
  note_off: "off",
  control_change: "control",
  pitchwheel: "bend",
  Note_on_c: "on",
  Note_off_c: "off",
  Control_c: "control",
  Pitch_bend_c: "bend",
};
function byMidiFile(bytes: Uint8Array): string[] {
  return parseMidi(bytes).tracks.flatMap((track, index) => {
    let tick = 0;
    return track.flatMap((event) => {
      tick += event.deltaTime;
      const head = `${index} ${tick} ${KINDS[event.type]} `;
      if (event.type === "noteOn" || event.type === "noteOff")
        return [`${head}${event.channel} ${event.noteNumber} ${event.velocity}`];
      if (event.type === "controller")
        return [`${head}${event.channel} ${event.controllerType} ${event.value}`];
      return event.type === "pitchBend" ? [`${head}${event.channel} ${event.value}`] : [];
    });
  });
}
const byMido = (file: ReadFile): string[] =>
  file.tracks.flatMap((track, index) =>
    track.flatMap(({ tick, kind, values }) =>
      KINDS[kind] === undefined ? [] : [`${index} ${tick} ${KINDS[kind]} ${values.join(" ")}`],
    ),
  );
const byMidicsv = (lines: readonly (readonly string[])[]): string[] =>
  lines.flatMap(([track, tick, kind, ...values]) => {
    const numbers = values.map(Number);
    // A bend counts from 0 there.
    if (kind === "Pitch_bend_c") numbers[1] = (numbers[1] ?? 0) - 8192;
    return KINDS[kind ?? ""] === undefined
      ? []
      : [`${Number(track) - 1} ${tick} ${KINDS[kind as string]} ${numbers.join(" ")}`];
  });

interface Written {
  readonly bytes: Uint8Array;
  /** Ticks; null where it is not known. */
  readonly length: number | null;
  readonly ppq: number;
}
function writtenBy(routine: Routine, mapping: Mapping): Written[] {
  const clips = clipFiles(routine, compile(routine), { mapping });
  const encoding = encodingOf(mapping);
  return clips.files.map(({ bytes, section, strand }) => {
    expect(strand === null || encoding[strand].written).toBe(true);
    return { bytes, length: ticksOf(routine, section, clips.ppq), ppq: clips.ppq };
  });
}

/** What the program says of a file, in the form of the readers, without the ends of notes; in order of the text. */
const byAccount = (bytes: Uint8Array): string[] =>
  accountOf(bytes, 1_000_000)
    .events.flatMap(({ tick, kind, channel = 0, number, value }) =>
      kind === "note"
        ? [`${tick} on ${channel - 1} ${number} ${value}`]
        : kind === "controller"
          ? [`${tick} control ${channel - 1} ${number} ${value}`]
          : kind === "bend"
            ? [`${tick} bend ${channel - 1} ${value}`]
            : [],
    )
    .sort();

/** @param most files that midicsv reads too: a process each */
function expectAgreement(files: readonly Written[], most: number): void {
  const mido = readWithMido(files.map(({ bytes }) => bytes));
  const csv = readWithMidicsv(files.slice(0, most).map(({ bytes }) => bytes));
  for (const [index, { bytes, length, ppq }] of files.entries()) {
    const said = byMidiFile(bytes);
    expect(byMido(mido[index] as ReadFile)).toEqual(said);
    if (csv[index] !== undefined) expect(byMidicsv(csv[index])).toEqual(said);
    expectLaws(mido[index] as ReadFile, ppq, length);
    const begun = said.filter((event) => !event.includes(" off ")).map((event) => event.replace(/^\d+ /, ""));
    expect(byAccount(bytes)).toEqual(begun.sort());
  }
}

test("all readers agree on every event, and the laws hold, whatever the mapping and the resolution", () => {
  const files: Written[] = [];
  holds("clips by mappings", 10, fc.tuple(routines, mappings), ([routine, mapping]) => {
    files.push(...writtenBy(routine, mapping));
  });
  expectAgreement(files, 120);
});

test("they agree by each of our mappings at each resolution that can be chosen", () => {
  const files: Written[] = [];
  let exact = 0;
  holds("clips by our mappings", 3, routines, (routine) => {
    for (const mapping of OUR_MAPPINGS) {
      for (const ppq of [480, 960, 1920, "exact"] as const) {
        try {
          files.push(...writtenBy(routine, { ...mapping, ppq }));
          if (ppq === "exact") exact++;
        } catch (error) {
          // Not every routine has a resolution that hits all; it is told.
          if (!(error instanceof NoExactResolution)) throw error;
          expect(ppq).toBe("exact");
        }
      }
    }
  });
  for (const ppq of [480, 960, 1920]) expect(files.some((file) => file.ppq === ppq)).toBe(true);
  console.log(`${files.length} files; an exact resolution ${exact} times`);
  expectAgreement(files, 60);
});

test("what is kept from one edit to the next gives the same bytes as everything made anew", () => {
  holds(
    "kept clips",
    12,
    fc.gen().map((gen) => {
      const draw: Draw = (arbitrary) => gen(() => arbitrary);
      let routine = drawRoutine(draw);
      const line: Routine[] = [routine];
      for (let turn = 0; turn < 6; turn++) {
        const applied = applyEdit(routine, drawEdit(draw, routine));
        if ("refused" in applied || checkRoutine(applied.routine).length > 0) continue;
        routine = applied.routine;
        line.push(routine);
      }
      return line;
    }),
    (line) => {
      const memory = new Map();
      for (const routine of line) {
        const performance = compile(routine);
        const kept = clipFiles(routine, performance, { memory });
        const anew = clipFiles(routine, performance);
        expect(kept.files.map(({ name }) => name)).toEqual(anew.files.map(({ name }) => name));
        for (const [index, { bytes }] of kept.files.entries())
          expect(Buffer.compare(bytes, anew.files[index]?.bytes ?? new Uint8Array())).toBe(0);
        expect([kept.exact, kept.ppq, kept.leftOut]).toEqual([anew.exact, anew.ppq, anew.leftOut]);
      }
    },
  );
});

test("a mapping is written into the routine's file and read again as it was", () => {
  holds("mappings in files", 40, fc.tuple(routines, mappings), ([routine, mapping]) => {
    expect(Mapping.safeParse(mapping).success).toBe(true);
    const { routine: read } = parseRoutine(writeRoutine({ ...routine, mappings: [mapping] }));
    const back = read?.mappings?.[0] as Mapping;
    expect(encodingOf(back)).toEqual(encodingOf(mapping));
  });
});
