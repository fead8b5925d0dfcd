/** Every parser that reads what others wrote, with valid input to start from. */
import { type MidiEvent, writeMidi } from "midi-file";
import { WIRE } from "../../schemas/version.ts";
import { FromPage } from "../../schemas/wire.ts";
import { readMidi } from "../../server/clips/read/file.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { parseRoutine } from "../../server/routine/parse.ts";
import { writeRoutine } from "../../server/routine/write.ts";
import { encodeSamples, wavEnd, wavStart } from "../../server/sound/wav.ts";
import { readWav } from "../../server/sound/wavread.ts";
import { hashOf } from "../../server/store/hash.ts";
import { encodeLine, parseJournal } from "../../server/store/journal.ts";
import { BodyError, safeJson } from "../../server/web/safeJson.ts";

export interface Parser {
  readonly name: string;
  readonly seeds: readonly Uint8Array[];
  /** A problem or a result; a throw is a crash. @returns whether it was taken for valid */
  parse(bytes: Uint8Array): boolean;
}

const text = (content: unknown): Uint8Array => Buffer.from(JSON.stringify(content));

const wire = [
  { type: "hello", wire: WIRE, token: "x".repeat(43) },
  { type: "open", ask: 1, name: "Night Ferry", have: { epoch: "e", rev: 3 } },
  {
    type: "edit",
    name: "Night Ferry",
    opId: "operation-1",
    base: 3,
    edit: { kind: "title", title: "Late Ferry" },
  },
  {
    type: "edit",
    name: "Night Ferry",
    opId: "operation-2",
    base: 4,
    edit: {
      kind: "batch",
      words: "Two",
      edits: [
        { kind: "title", title: "A" },
        { kind: "replace-routine", routine: DEMO },
      ],
    },
  },
  { type: "history", ask: 2, name: "Night Ferry", limit: 20 },
].map(text);

const track: MidiEvent[] = [
  { deltaTime: 0, meta: true, type: "setTempo", microsecondsPerBeat: 645_161 },
  {
    deltaTime: 0,
    meta: true,
    type: "timeSignature",
    numerator: 4,
    denominator: 4,
    metronome: 24,
    thirtyseconds: 8,
  },
  { deltaTime: 0, type: "noteOn", channel: 9, noteNumber: 36, velocity: 100 },
  { deltaTime: 240, type: "noteOff", channel: 9, noteNumber: 36, velocity: 0 },
  { deltaTime: 0, type: "controller", channel: 0, controllerType: 17, value: 64 },
  { deltaTime: 0, type: "pitchBend", channel: 0, value: 100 },
  { deltaTime: 720, meta: true, type: "endOfTrack" },
];
const midi = [0, 1].map((format) =>
  Uint8Array.from(
    writeMidi({
      header: { format: format as 0 | 1, numTracks: format + 1, ticksPerBeat: 960 },
      tracks: format === 0 ? [track] : [track, track],
    }),
  ),
);

const wav = [1, 2].map((channels) => {
  const options = { rate: 48_000, channels, frames: 64 };
  const samples = new Uint8Array(3 * 64 * channels);
  encodeSamples(
    Array.from({ length: channels }, () => new Float32Array(64).fill(0.25)),
    64,
    samples,
  );
  return Buffer.concat([wavStart(options), samples, wavEnd(options)]);
});

const journal = Buffer.concat(
  [
    { journal: 1 as const, epoch: "e", base: 0, text: "start", recent: [["before", 0] as [string, number]] },
    {
      edits: [
        { rev: 1, id: "a", at: 1, ops: { n: 1 } },
        { rev: 2, id: "b", at: 2, ops: [] },
      ],
    },
    { mark: [2, hashOf("two")] as [number, string] },
    { kept: 2, edits: [{ rev: 3, id: "c", at: 3, ops: null }] },
  ].map(encodeLine),
);

export const PARSERS: readonly Parser[] = [
  {
    name: "routine",
    seeds: [
      Buffer.from(writeRoutine(DEMO)),
      Buffer.from(writeRoutine({ ...DEMO, sections: DEMO.sections.slice(0, 1) })),
    ],
    parse: (bytes) => parseRoutine(bytes).routine !== null,
  },
  { name: "MIDI", seeds: midi, parse: (bytes) => !("problem" in readMidi(bytes)) },
  { name: "WAV", seeds: wav, parse: (bytes) => !("problem" in readWav(bytes)) },
  {
    name: "wire",
    seeds: wire,
    parse(bytes) {
      try {
        return FromPage.safeParse(safeJson(bytes, 32)).success;
      } catch (error) {
        if (error instanceof BodyError) return false;
        throw error;
      }
    },
  },
  { name: "journal", seeds: [journal], parse: (bytes) => typeof parseJournal(bytes) !== "string" },
];
