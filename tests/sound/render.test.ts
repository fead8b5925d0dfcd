import { describe, expect, it } from "vitest";
import { recordedBeatJob } from "../../server/sound/prepare.ts";
import { RATE } from "../../server/sound/rate.ts";
import { buildTables } from "../../server/sound/tables.ts";
import { firstSound, pattern, rendered, rendererOf, routine, section, sounds } from "./playing.ts";

/** At 120 quarters a minute a sixteenth takes 6000 frames. */
const STEP = 6000;

const playing = (record: string, fader: string, more: Parameters<typeof section>[1] = {}) =>
  routine([pattern("p", record, fader)], [section([{ pattern: "p", bar: 1 }], more)]);

const loudest = (sound: Float32Array, from: number, to: number): number =>
  sound.subarray(from, to).reduce((most, value) => Math.max(most, Math.abs(value)), 0);

describe("the fader's gain", () => {
  it("opens from the exact frame of a cut and is whole a millisecond later", () => {
    const { fader } = rendered(rendererOf(playing("e4 d4", "o x o x")), 0, 4 * STEP);
    expect(fader[0]).toBe(0);
    expect(fader[48]).toBe(1);
    expect(fader[STEP]).toBe(1);
    expect(fader[STEP + 72]).toBe(0);
    expect(fader[2 * STEP]).toBe(0);
    expect(fader[2 * STEP + 1]).toBeGreaterThan(0);
    expect(fader[2 * STEP + 47]).toBeLessThan(1);
    expect(fader[2 * STEP + 48]).toBe(1);
  });

  it("never moves by more than an eased millisecond's steepest step", () => {
    const { fader } = rendered(rendererOf(playing("f b", "c p x o")), 0, 16 * STEP);
    const steepest = Math.max(...fader.slice(1).map((value, i) => Math.abs(value - fader[i]!)));
    expect(steepest).toBeLessThanOrEqual(Math.PI / 2 / 48);
    expect(steepest).toBeGreaterThan(0.02);
  });

  it("stays open where one placement ends open and the next starts open", () => {
    const of = routine(
      [pattern("p", "f b", "o")],
      [
        section([
          { pattern: "p", bar: 1, lasts: { steps: 8 } },
          { pattern: "p", bar: 1, at: "1/2" },
        ]),
        section([{ pattern: "p", bar: 1 }], { id: "two" }),
      ],
    );
    const { fader } = rendered(rendererOf(of), 48, 32 * STEP - 48);
    expect(fader.every((value) => value === 1)).toBe(true);
  });
});

describe("the record before the fader", () => {
  it("plays on while the fader is shut", () => {
    const { scratch, fader } = rendered(rendererOf(playing("e8 d8", "x")), 0, 4 * STEP);
    expect(loudest(fader, 0, 4 * STEP)).toBe(0);
    expect(loudest(scratch[0], 100, 4 * STEP)).toBeGreaterThan(0.05);
  });

  it("is silent on a hold, but for the cells in which the record stops and starts", () => {
    const { scratch } = rendered(rendererOf(playing("e2 h2 d2 h2", "o")), 0, 8 * STEP);
    expect(loudest(scratch[0], 2 * STEP + 16, 4 * STEP - 16)).toBe(0);
    expect(loudest(scratch[0], 4 * STEP + 16, 6 * STEP)).toBeGreaterThan(0.05);
  });

  it("is silent where no placement is", () => {
    const of = routine([pattern("p", "e d", "o")], [section([{ pattern: "p", bar: 1, at: "1/2" }])]);
    const { scratch } = rendered(rendererOf(of), 0, 16 * STEP);
    expect(firstSound(scratch[0])).toBeGreaterThanOrEqual(8 * STEP);
    expect(firstSound(scratch[0])).toBeLessThan(8 * STEP + 32);
  });

  it("is 6 dB softer for each halving of its speed", () => {
    // Sixteen steps last two seconds: 400 degrees are the record's own speed.
    const peak = (travel: number): number => {
      const { scratch } = rendered(rendererOf(playing(`e16:${travel}`, "o")), 0, 16 * STEP);
      return loudest(scratch[0], STEP, 15 * STEP);
    };
    const own = peak(400);
    expect(20 * Math.log10(own / peak(200))).toBeCloseTo(6.02, 1);
    expect(20 * Math.log10(peak(200) / peak(100))).toBeCloseTo(6.02, 1);
    expect(20 * Math.log10(peak(800) / own)).toBeCloseTo(6.02, 1);
  });

  it("goes through zero at a turn without a jump", () => {
    const { scratch } = rendered(rendererOf(playing("e4:400 d4:400", "o")), 0, 8 * STEP);
    const sound = scratch[0];
    // Four times its own speed: a 440 Hz tone at 1760 Hz, whose own steps set the scale.
    const step = (i: number): number => Math.abs(sound[i + 1]! - sound[i]!);
    const steps = (from: number, to: number): number => {
      let most = 0;
      for (let i = from; i < to; i++) most = Math.max(most, step(i));
      return most;
    };
    expect(steps(4 * STEP - 32, 4 * STEP + 32)).toBeLessThanOrEqual(1.2 * steps(STEP, 3 * STEP));
  });

  it("starts a released stroke from rest, catches up, and then turns at the platter's speed and pitch", () => {
    const of = playing("r16", "o", { pitch: 8 });
    const { scratch } = rendered(rendererOf(of, { cartridge: true }), 0, 16 * STEP);
    const level = (from: number, to: number): number => loudest(scratch[0], from, to);
    const settled = level(8 * STEP, 9 * STEP);
    expect(level(0, 240)).toBeLessThan(0.25 * settled);
    expect(level(6000, 12_000)).toBeGreaterThan(0.9 * settled);
    // Upward crossings of the tone in a quarter of a second, at 1.08 times 440 Hz.
    let crossings = 0;
    for (let i = 8 * STEP; i < 10 * STEP; i++) if (scratch[0][i]! < 0 && scratch[0][i + 1]! >= 0) crossings++;
    expect(crossings).toBeGreaterThanOrEqual(Math.floor(440 * 1.08 * 0.25));
    expect(crossings).toBeLessThanOrEqual(Math.ceil(440 * 1.09 * 0.25));
  });

  it("has a surface only while it turns, and none where it is turned off", () => {
    const of = playing("e4 h4", "o");
    const quiet = rendererOf(of, { surface: true }, sounds({}));
    const { scratch } = rendered(quiet, 0, 8 * STEP);
    const heard = loudest(scratch[0], STEP, 2 * STEP);
    expect(20 * Math.log10(heard)).toBeLessThan(-40);
    expect(heard).toBeGreaterThan(0);
    expect(loudest(scratch[0], 5 * STEP, 8 * STEP - 16)).toBe(0);
    expect(loudest(rendered(rendererOf(of, {}, sounds({})), 0, 8 * STEP).scratch[0], 0, 8 * STEP)).toBe(0);
  });
});

describe("several players", () => {
  const of = routine(
    [pattern("p", "e4 d4", "o"), pattern("q", "e4 d4", "x o")],
    [
      section([
        { pattern: "p", bar: 1 },
        { pattern: "q", bar: 1, player: 2 },
      ]),
    ],
  );

  it("gives the leading one's record and fader, and the others after theirs", () => {
    const { fader, others } = rendered(rendererOf(of), 0, 4 * STEP);
    expect(fader[STEP / 2]).toBe(1);
    expect(loudest(others[0], 0, STEP)).toBe(0);
    expect(loudest(others[0], STEP + 100, 2 * STEP)).toBeGreaterThan(0.05);
  });

  it("lets another lead", () => {
    const second = rendered(rendererOf(of, { player: 2 }), 0, 4 * STEP);
    expect(second.fader[STEP / 2]).toBe(0);
    expect(second.fader[STEP + 100]).toBe(1);
    expect(loudest(second.others[0], 100, STEP)).toBeGreaterThan(0.05);
  });
});

describe("playing at another speed", () => {
  it("stretches time as a tempo does, and the hands with it", () => {
    const of = playing("e4:100 d4:100", "o x");
    const slow = rendererOf(of, { speed: 0.5 });
    expect(slow.frames).toBe(2 * 16 * STEP);
    const { fader, scratch } = rendered(slow, 0, 16 * STEP);
    expect(fader[2 * STEP - 1]).toBe(1);
    expect(fader[2 * STEP + 72]).toBe(0);
    // 100 degrees in a second instead of half a second: half the record's own speed, an octave down.
    let crossings = 0;
    for (let i = STEP; i < 5 * STEP; i++) if (scratch[0][i]! < 0 && scratch[0][i + 1]! >= 0) crossings++;
    expect(crossings).toBeGreaterThanOrEqual(109);
    expect(crossings).toBeLessThanOrEqual(111);
  });

  it("lets a released record turn at its own speed", () => {
    const { scratch } = rendered(rendererOf(playing("r4 b4", "o"), { speed: 0.5 }), 0, 16 * STEP);
    let crossings = 0;
    for (let i = 4 * STEP; i < 8 * STEP; i++) if (scratch[0][i]! < 0 && scratch[0][i + 1]! >= 0) crossings++;
    expect(Math.abs(crossings - 220)).toBeLessThanOrEqual(1);
  });

  it("goes on from where a released record then is: the tone's phase does not skip", () => {
    const { scratch } = rendered(rendererOf(playing("r4 e4:100", "o"), { speed: 0.5 }), 0, 16 * STEP);
    let most = 0;
    for (let i = 8 * STEP - 40; i < 8 * STEP + 40; i++) {
      most = Math.max(most, Math.abs(scratch[0][i + 1]! - scratch[0][i]!));
    }
    // A 440 Hz sine of this sample's level moves by 0.2517·2π·440/48000 = 0.0145 a frame at most; the record is a
    // few percent faster while it makes good what it lost.
    expect(most).toBeLessThan(0.0155);
  });
});

describe("drums and clicks", () => {
  const beat = {
    id: "b",
    step: "1/16",
    steps: 16,
    hits: [
      { key: 38, at: [4] },
      { key: 46, at: [8] },
      { key: 42, at: [9] },
    ],
  };
  const of = routine([], [section([], { beat: "b" })], { beats: [beat] });

  it("strike at the exact frame", () => {
    const { beat: drums } = rendered(rendererOf(of), 0, 16 * STEP);
    expect(firstSound(drums[0])).toBe(4 * STEP);
  });

  it("damp an open hi-hat when it is closed", () => {
    const open = rendererOf({ ...of, beats: [{ ...beat, hits: [{ key: 46, at: [8] }] }] });
    const damped = rendererOf({
      ...of,
      beats: [
        {
          ...beat,
          hits: [
            { key: 46, at: [8] },
            { key: 42, at: [9] },
          ],
        },
      ],
    });
    const late = 12 * STEP;
    expect(loudest(rendered(open, late, STEP).beat[0], 0, STEP)).toBeGreaterThan(0.001);
    expect(loudest(rendered(damped, late, STEP).beat[0], 0, STEP)).toBe(0);
  });

  it("are swung apart from the hands", () => {
    const swung = rendererOf(
      routine([], [section([], { beat: "b", swing: { of: "1/16", beat: 60 } })], {
        beats: [{ ...beat, hits: [{ key: 38, at: [5] }] }],
      }),
    );
    expect(firstSound(rendered(swung, 0, 16 * STEP).beat[0])).toBe(4 * STEP + 1.2 * STEP);
  });

  it("click on each beat, and at each group of either hand with its own sound", () => {
    const grouped = playing("f b h", "o x");
    const only = (kind: "beat" | "bar" | "record" | "fader") =>
      rendered(rendererOf(grouped, {}, sounds({}, [kind])), 0, 16 * STEP).clicks[0];
    expect(firstSound(only("bar"))).toBeLessThan(2);
    expect(Math.abs(firstSound(only("beat")) - 4 * STEP)).toBeLessThan(2);
    const starts = (sound: Float32Array): number =>
      Array.from({ length: 16 }, (_, i) => i).filter(
        (i) =>
          loudest(sound, i * STEP + 2, i * STEP + 200) > 0.05 &&
          loudest(sound, i * STEP - 200, i * STEP) < 0.01,
      ).length;
    expect(starts(only("record"))).toBe(6);
    expect(starts(only("fader"))).toBe(8);
  });
});

describe("a recorded beat", () => {
  it("turns as fast as the routine's tempo asks, from its first beat, and rests in its bars", () => {
    const recorded = { file: "x.wav", tempo: 100, firstBeat: 0.25 };
    const beat = { id: "b", step: "1/4", steps: 4, hits: [], recorded };
    // A tone of 500 Hz from the first beat on; before it one of 100 Hz that must not be heard.
    const channels = [
      Float32Array.from({ length: 3 * RATE }, (_, i) =>
        Math.sin((2 * Math.PI * (i < 0.25 * RATE ? 100 : 500) * i) / RATE),
      ),
    ];
    const { pcm, options } = recordedBeatJob(beat, { rate: RATE, channels });
    const tables = buildTables(pcm, options);
    const of = routine([], [section([], { beat: "b", bars: 2, beatRests: [2] })], { beats: [beat] });
    const { beat: heard } = rendered(rendererOf(of, {}, sounds({}, [], { b: tables })), 0, 32 * STEP);
    let crossings = 0;
    for (let i = 0; i < RATE; i++) if (heard[0][i]! < 0 && heard[0][i + 1]! >= 0) crossings++;
    expect(Math.abs(crossings - 600)).toBeLessThanOrEqual(1);
    expect(loudest(heard[0], 16 * STEP + 100, 32 * STEP)).toBe(0);
  });

  it("has no aliases where it is played at three times its own speed", () => {
    const recorded = { file: "x.wav", tempo: 40 };
    const beat = { id: "b", step: "1/4", steps: 4, hits: [], recorded };
    // 20 kHz, which would be heard as 12 kHz.
    const channels = [
      Float32Array.from({ length: 2 * RATE }, (_, i) => Math.sin((2 * Math.PI * 20_000 * i) / RATE)),
    ];
    const { pcm, options } = recordedBeatJob(beat, { rate: RATE, channels });
    const tables = buildTables(pcm, options);
    const of = routine([], [section([], { beat: "b" })], { beats: [beat] });
    const { beat: heard } = rendered(rendererOf(of, {}, sounds({}, [], { b: tables })), 0, 4 * STEP);
    expect(loudest(heard[0], STEP, 3 * STEP)).toBeLessThan(1e-5);
  });
});
