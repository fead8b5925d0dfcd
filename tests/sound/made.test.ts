/** The sounds that the program makes: samples, drums, clicks, count-in. */
import { describe, expect, it } from "vitest";
import { BuiltInSample } from "../../schemas/routine.ts";
import { createClicks } from "../../server/sound/clicks.ts";
import { countIn } from "../../server/sound/countin.ts";
import { createKit } from "../../server/sound/kit.ts";
import { KEYS } from "../../server/sound/pieces.ts";
import { newChannels } from "../../server/sound/render.ts";
import { builtInSample } from "../../server/sound/samples.ts";
import { buildTables } from "../../server/sound/tables.ts";
import { CELL, newCell, readCell } from "../../server/sound/voice.ts";
import { powers } from "./spectrum.ts";

const peak = (sound: Float32Array): number =>
  sound.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
const rms = (sound: Float32Array): number =>
  Math.sqrt(sound.reduce((sum, v) => sum + v * v, 0) / sound.length);

/** Hz below which half of the power lies. */
function middle(sound: Float32Array): number {
  const found = powers(sound);
  const half = found.reduce((sum, p) => sum + p, 0) / 2;
  let sum = 0;
  const bin = found.findIndex((p) => {
    sum += p;
    return sum >= half;
  });
  return (bin * 48_000) / (2 * found.length);
}

describe("built-in samples", () => {
  const made = BuiltInSample.options.map((id) => [id, builtInSample(id, 1.8).channels[0]!] as const);

  it("last a turn of 33 1/3, fit full scale, and start at their cue", () => {
    for (const [id, sound] of made) {
      expect(sound.length, id).toBe(86_400);
      expect(peak(sound), id).toBeLessThanOrEqual(0.951);
      expect(peak(sound), id).toBeGreaterThan(0.2);
      expect(rms(sound.subarray(0, 4800)), id).toBeGreaterThan(0.03);
    }
  });

  it("are the same each time", () => {
    for (const [id, sound] of made) expect(builtInSample(id, 1.8).channels[0], id).toEqual(sound);
  });

  it("differ in character: a tone has one frequency, noise has no pitch, the rest lie between", () => {
    const flatness = (sound: Float32Array): number => {
      const band = powers(sound)
        .slice(100, 8000)
        .map((p) => p + 1e-20);
      const logs = band.reduce((sum, p) => sum + Math.log(p), 0) / band.length;
      return 10 * Math.log10(Math.exp(logs) / (band.reduce((sum, p) => sum + p, 0) / band.length));
    };
    const of = Object.fromEntries(made.map(([id, sound]) => [id, flatness(sound)]));
    expect(of.noise).toBeGreaterThan(-20);
    expect(of.tone).toBeLessThan(-60);
    for (const id of ["vowel", "stab", "syllable"]) {
      expect(of[id], id).toBeLessThan(of.noise!);
      expect(of[id], id).toBeGreaterThan(of.tone!);
    }
    const middles = ["vowel", "stab", "syllable"].map((id) =>
      middle(builtInSample(id as "vowel", 1.8).channels[0]!),
    );
    expect(new Set(middles.map((hertz) => Math.round(hertz / 20))).size).toBe(3);
  });

  it("tone goes round without a break", () => {
    const sound = builtInSample("tone", 1.8).channels[0]!;
    expect(Math.abs(sound[0]! - sound.at(-1)!)).toBeLessThan(peak(sound) * 0.06);
  });

  it("are shorter in a shorter round", () => {
    expect(builtInSample("vowel", 0.45).channels[0]).toHaveLength(21_600);
    expect(peak(builtInSample("vowel", 0.45).channels[0]!.subarray(-400))).toBeLessThan(1e-6);
  });
});

describe("tables", () => {
  const ramp = Float32Array.from({ length: 4800 }, (_, i) => Math.sin(i / 20));
  const read = (tables: ReturnType<typeof buildTables>, at: number): number => {
    const cell = newCell();
    cell.gain.fill(1);
    cell.at.fill(at);
    const [left, right] = [new Float32Array(CELL), new Float32Array(CELL)];
    readCell(tables, cell, 0, 1, left, right, 0);
    return left[0]!;
  };

  it("of a sample that does not repeat are silent outside it, and right within", () => {
    const tables = buildTables({ rate: 48_000, channels: [ramp] }, { repeatSeconds: 0, fastest: 2 });
    expect(read(tables, tables.origin + 1000.25)).toBeCloseTo(Math.sin(1000.25 / 20), 4);
    for (const outside of [-1e9, -0.001, tables.length, 1e9]) expect(read(tables, outside)).toBe(0);
  });

  it("of one that repeats are the same a round further on, however far", () => {
    const tables = buildTables({ rate: 48_000, channels: [ramp] }, { repeatSeconds: 0.1, fastest: 2 });
    const once = read(tables, 1234.5);
    for (const rounds of [1, -1, 1000, -1000])
      expect(read(tables, 1234.5 + rounds * 4800)).toBeCloseTo(once, 6);
  });

  it("put the cue where the sample says, and keep both channels apart", () => {
    const other = ramp.map((value) => -0.5 * value);
    const tables = buildTables(
      { rate: 48_000, channels: [ramp, other] },
      { repeatSeconds: 0.1, cueSeconds: 0.025, fastest: 2 },
    );
    expect(tables.origin).toBe(1200);
    const cell = newCell();
    cell.gain.fill(1);
    cell.at.fill(2000.4);
    const [left, right] = [new Float32Array(CELL), new Float32Array(CELL)];
    readCell(tables, cell, 3, 5, left, right, 0);
    expect(left[3]).toBeCloseTo(Math.sin(2000.4 / 20), 4);
    expect(right[3]).toBeCloseTo(-0.5 * Math.sin(2000.4 / 20), 4);
    expect([left[2], left[5]]).toEqual([0, 0]);
  });

  it("tell how the work goes on, from above 0 to 1", () => {
    const told: number[] = [];
    const progress = (part: number): void => void told.push(part);
    buildTables({ rate: 48_000, channels: [ramp] }, { repeatSeconds: 0.1, progress });
    expect(told).toEqual(told.toSorted((a, b) => a - b));
    expect(told[0]).toBeGreaterThan(0);
    expect(told.at(-1)).toBe(1);
  });

  it("of a sample that is too long are refused with what would fit", () => {
    const hour = { rate: 48_000, channels: [{ length: 48_000 * 3600 } as Float32Array] };
    expect(() => buildTables(hour, { repeatSeconds: 0 })).toThrow("The sample is too long: trim it to");
  });
});

describe("the drum kit", () => {
  const kit = createKit();

  it("makes a sound of its own on every key of General MIDI's percussion map, 35 to 81", () => {
    const names = new Set<string>();
    for (let key = 35; key <= 81; key++) {
      const { left, right } = kit.hit(key, 100);
      expect(peak(left) + peak(right), String(key)).toBeGreaterThan(0.2);
      expect(peak(left), String(key)).toBeLessThanOrEqual(1.42);
      expect(KEYS).toContain(key);
      names.add(`${left.length} ${left.subarray(100, 110).join()}`);
    }
    expect(names.size).toBe(47);
  });

  it("sounds on any key, starts at once, ends in silence, and never longer than it says", () => {
    for (let key = 0; key < 128; key += 3) {
      const { left, right } = kit.hit(key, 127);
      expect(peak(left.subarray(0, 2400)), String(key)).toBeGreaterThan(0.01);
      expect(Math.abs(left.at(-1)!), String(key)).toBeLessThan(1e-3);
      expect(left.length).toBeLessThanOrEqual(kit.longest);
      expect([...left, ...right].every(Number.isFinite)).toBe(true);
    }
  });

  it("is softer and darker at a softer stroke", () => {
    const [soft, hard] = [kit.hit(38, 30), kit.hit(38, 120)];
    expect(soft.gain).toBeLessThan(hard.gain / 4);
    expect(middle(soft.left)).toBeLessThan(middle(hard.left));
  });

  it("is the same in another kit", () => {
    expect(createKit().hit(49, 90)).toEqual(kit.hit(49, 90));
  });

  it("tells a bass drum from a snare from a hi-hat by where their power lies", () => {
    const [bass, snare, hat] = [36, 38, 42].map((key) => middle(kit.hit(key, 120).left));
    expect(bass).toBeLessThan(120);
    expect(snare).toBeGreaterThan(150);
    expect(snare).toBeLessThan(5000);
    expect(hat).toBeGreaterThan(7000);
  });
});

describe("clicks", () => {
  const clicks = createClicks(["bar", "beat", "record", "fader"]);

  it("have a sound of their own for bar, beat and each hand's group", () => {
    const pitches = (["bar", "beat", "record", "fader"] as const).map((kind) => {
      const sound = clicks[kind]!;
      let crossings = 0;
      for (let i = 1; i < 1200; i++) if (sound[i - 1]! < 0 && sound[i]! >= 0) crossings++;
      return crossings;
    });
    expect(new Set(pitches).size).toBe(4);
  });

  it("that were not asked for are none", () => {
    expect(createClicks(["fader"])).toMatchObject({ bar: null, beat: null, record: null });
  });

  it("count in at exact frames, the first of a bar with its own sound", () => {
    const count = countIn(8, 4, 24_000.4, clicks);
    expect(count.frames).toBe(192_003);
    const out = newChannels(count.frames);
    count.block(0, count.frames, out);
    const [left] = out.clicks;
    expect(left.subarray(0, 2000)).toEqual(clicks.bar!.subarray(0, 2000));
    expect(left.subarray(24_000, 26_000)).toEqual(clicks.beat!.subarray(0, 2000));
    expect(left.subarray(96_002, 98_002)).toEqual(clicks.bar!.subarray(0, 2000));
  });
});
