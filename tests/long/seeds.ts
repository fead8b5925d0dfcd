/** Valid input for every parser of what others wrote, for harm to start from. */
import { type MidiEvent, writeMidi } from "midi-file";
import { OUR_MAPPINGS } from "../../schemas/mapping.ts";
import type { Section } from "../../schemas/routine.ts";
import { SOUND_WIRE } from "../../schemas/soundBlock.ts";
import { WIRE } from "../../schemas/version.ts";
import { wavBytes } from "../../schemas/wavBytes.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { writeRoutine } from "../../server/routine/write.ts";
import { wavEnd, wavStart } from "../../server/sound/wav.ts";
import { hashOf } from "../../server/store/hash.ts";
import { encodeLine } from "../../server/store/journal.ts";

const text = (content: unknown): Uint8Array => Buffer.from(JSON.stringify(content));

export const routines = [DEMO, { ...DEMO, sections: DEMO.sections.slice(0, 1) }].map((one) =>
  Buffer.from(writeRoutine(one)),
);

export const wire = [
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
export const midi = [0, 1].map((format) =>
  Uint8Array.from(
    writeMidi({
      header: { format: format as 0 | 1, numTracks: format + 1, ticksPerBeat: 960 },
      tracks: format === 0 ? [track] : [track, track],
    }),
  ),
);

const channel = new Float32Array(64).fill(0.25);
/** With all chunks that the program writes, and its 64 frames of silence. */
const marked = {
  rate: 48_000,
  channels: 1,
  frames: 64,
  title: "Night Ferry",
  comment: "Quay",
  markers: [{ frame: 3, label: "bar 2" }],
};
export const wav = [
  wavBytes([channel], 48_000, 16),
  wavBytes([channel, channel], 44_100, 24),
  Buffer.concat([wavStart(marked), new Uint8Array(3 * 64), wavEnd(marked)]),
];

export const journal = Buffer.concat(
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

const [{ id: first }, { id: second }] = DEMO.sections as [Section, Section];
const range = { from: { section: first, at: 0 }, to: { section: second, at: 0 } };
const round = { number: 0, range, speed: 0.8, countIn: { count: 1, by: "bar" }, rest: 2, silent: false };
const alone = {
  kind: "alone",
  routine: { ...DEMO, sections: DEMO.sections.slice(0, 1) },
  sounds: "Night Ferry",
};
export const sound = [
  { type: "hello", wire: SOUND_WIRE, token: "x".repeat(43) },
  {
    type: "play",
    play: 1,
    material: { kind: "open", name: "Night Ferry", rev: 3 },
    from: { section: first, at: 1_920 },
    loop: range,
    speed: 0.75,
    countIn: 1,
    clicks: { beat: true, record: false, fader: false },
    player: 1,
    rounds: [round],
    midi: true,
  },
  { type: "stop", play: 1 },
  { type: "set", play: 1, loop: null, speed: 1.5, clicks: { beat: false, record: true, fader: true } },
  { type: "seek", play: 1, to: range.to, when: "bar" },
  { type: "keep", play: 1 },
  { type: "rounds", play: 1, rounds: [round, { ...round, number: 1 }] },
  { type: "next", play: 1, material: alone, when: "group" },
  { type: "draft", play: 1, edit: { kind: "title", title: "Late Ferry" } },
  { type: "heard", play: 1, frames: 48_000, underruns: 0 },
].map(text);

export const phrases = text({
  format: "countercut-phrases",
  version: 1,
  phrases: [
    ...DEMO.patterns.map((pattern) => ({ id: pattern.id, name: pattern.id, labels: ["slow"], pattern })),
    ...DEMO.beats.map((beat) => ({ id: `${beat.id}-beat`, name: beat.id, beat })),
  ],
});
export const mappings = text({ format: "countercut-mappings", version: 1, mappings: OUR_MAPPINGS });
export const past = text({
  past: 1,
  base: 3,
  text: writeRoutine(DEMO),
  edits: [
    [1_700_000_000_000, { n: 1 }],
    [5, null],
  ],
});
