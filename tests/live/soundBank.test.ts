import { describe, expect, test, vi } from "vitest";
import type { Routine, Sample } from "../../schemas/routine.ts";
import { clicksFor } from "../../server/sound/clicksFor.ts";
import { KEPT_FOR, SoundBank } from "../../server/live/soundBank.ts";
import type { BuiltInJob, TableJob } from "../../server/sound/prepare.ts";
import { buildTables, type Pcm, type Tables } from "../../server/sound/tables.ts";

const short: Pcm = { rate: 48_000, channels: [new Float32Array(4_800)] };
const tables = buildTables(short, { repeatSeconds: 0.1, cueSeconds: 0 });
const routine = (...samples: readonly Sample[]): Routine => ({
  format: "countercut-routine",
  version: 1,
  title: "",
  rig: { samples },
  patterns: [],
  beats: [],
  sections: [{ id: "a", bars: 1, meter: "4/4", tempo: 90, placements: [] }],
});
const none = clicksFor({ beat: false, record: false, fader: false });

function bankOf(
  build: (job: TableJob | BuiltInJob, signal: AbortSignal) => Promise<Tables> = async () => tables,
) {
  let built = 0;
  const bank = new SoundBank((job, signal) => {
    built++;
    return build(job, signal);
  });
  let ready = 0;
  const ids = (one: Routine, where = "x", file: Pcm | null = short) => [
    ...bank
      .soundsOf(
        one,
        where,
        async () => file,
        none,
        () => ready++,
      )
      .samples.keys(),
  ];
  return { bank, ids, counts: () => ({ built, ready }) };
}

describe("sounds of routines", () => {
  test("are silent until they are ready, then there, and made once however often they are asked for", async () => {
    const { bank, ids, counts } = bankOf();
    const one = routine({ id: "vowel", builtIn: "vowel" }, { id: "horn", file: "horn.wav" });
    expect([ids(one), ids(one), bank.busy]).toEqual([[], [], true]);
    await bank.settled();
    expect(ids(one)).toEqual(["vowel", "horn"]);
    expect(counts()).toEqual({ built: 2, ready: 4 });
  });

  test("built-in ones are shared by all routines, files are each routine's own", async () => {
    const { bank, ids, counts } = bankOf();
    const one = routine({ id: "vowel", builtIn: "vowel" }, { id: "horn", file: "horn.wav" });
    ids(one, "x");
    ids(one, "y");
    await bank.settled();
    expect(counts().built).toBe(3);
  });

  test("are made anew where what they depend on changes, and not where it does not", async () => {
    const { bank, ids, counts } = bankOf();
    ids(routine({ id: "a", builtIn: "stab" }));
    await bank.settled();
    ids(routine({ id: "b", name: "Brass", builtIn: "stab", cues: [{ id: "in", at: 3 }] }));
    ids(routine({ id: "a", builtIn: "stab", cue: 0.25 }));
    await bank.settled();
    expect(counts().built).toBe(2);
  });

  test("one that cannot be made is silent and not tried again; the rest plays", async () => {
    const { bank, ids, counts } = bankOf();
    const one = routine({ id: "vowel", builtIn: "vowel" }, { id: "gone", file: "gone.wav" });
    ids(one, "x", null);
    await bank.settled();
    expect(ids(one, "x", null)).toEqual(["vowel"]);
    expect(counts().built).toBe(1);
  });

  test("more than are kept for later stay, as long as a routine uses them", async () => {
    const { bank, ids, counts } = bankOf();
    const many = Array.from({ length: 20 }, (_, index) => ({ id: `s-${index}`, file: `${index}.wav` }));
    ids(routine(...many));
    await bank.settled();
    expect(ids(routine(...many))).toHaveLength(20);
    expect(counts().built).toBe(20);
  });

  test("of those that wait, the one that was asked for last comes first", async () => {
    const made: number[] = [];
    const { bank, ids } = bankOf(async (job) => {
      made.push(("sample" in job ? job.sample.cue : job.options.cueSeconds) ?? 0);
      return tables;
    });
    ids(routine({ id: "a", builtIn: "stab", cue: 1 }, { id: "b", builtIn: "stab", cue: 2 }));
    ids(routine({ id: "c", builtIn: "stab", cue: 3 }));
    await bank.settled();
    expect(made).toEqual([1, 3, 2]);
  });

  test("a file that was replaced is read again", async () => {
    const { bank, ids, counts } = bankOf();
    const one = routine({ id: "horn", file: "horn.wav" });
    ids(one);
    await bank.settled();
    bank.forget("x");
    ids(one);
    await bank.settled();
    expect(counts().built).toBe(2);
  });

  test("are let go a while after they were asked for last, once no page is there to hear them, and made anew then", async () => {
    vi.useFakeTimers();
    try {
      const { bank, ids, counts } = bankOf();
      const one = routine({ id: "vowel", builtIn: "vowel" });
      const left = bank.attend();
      ids(one);
      await bank.settled();
      vi.advanceTimersByTime(2 * KEPT_FOR);
      expect(ids(one)).toEqual(["vowel"]);
      left();
      vi.advanceTimersByTime(KEPT_FOR - 1);
      expect(ids(one)).toEqual(["vowel"]);
      vi.advanceTimersByTime(KEPT_FOR - 1);
      expect(ids(one)).toEqual(["vowel"]);
      vi.advanceTimersByTime(KEPT_FOR);
      expect(ids(one)).toEqual([]);
      await bank.settled();
      expect([ids(one), counts().built]).toEqual([["vowel"], 2]);
    } finally {
      vi.useRealTimers();
    }
  });

  test("once it ends, what is being made is given up and what waits is not begun", async () => {
    const { bank, ids, counts } = bankOf(
      (_job, signal) =>
        new Promise((_resolve, reject) => signal.addEventListener("abort", () => reject(signal.reason))),
    );
    const one = routine({ id: "vowel", builtIn: "vowel" }, { id: "horn", builtIn: "stab" });
    ids(one);
    await new Promise((goOn) => setImmediate(goOn));
    bank.end();
    await bank.settled();
    expect([ids(one), counts().built]).toEqual([[], 1]);
  });
});
