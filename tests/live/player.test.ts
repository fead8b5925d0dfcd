/** Playing without socket or clock: what is sent, when, and that it is what the renderer says. */
import { describe, expect, test } from "vitest";
import type { Routine } from "../../schemas/routine.ts";
import {
  COUNTING_IN,
  channelOf,
  HEAD_BYTES,
  LAST,
  LEAPT,
  RESTING,
  readHead,
} from "../../schemas/soundBlock.ts";
import type { Material, Round, SoundFromServer, SoundPageMessage } from "../../schemas/soundWire.ts";
import { UNITS_PER_QUARTER } from "../../schemas/units.ts";
import { AHEAD, AT_ONCE, BLOCK, LEAD, MOST_PASSED, Player } from "../../server/live/player.ts";
import { type Piece, pieceOf } from "../../server/live/program.ts";
import { clicksFor } from "../../server/sound/clicksFor.ts";
import { compile } from "../../server/routine/compile.ts";
import type { Sounds } from "../../server/sound/inFrames.ts";
import { createKit } from "../../server/sound/kit.ts";
import { createRenderer, newChannels } from "../../server/sound/render.ts";

/** 120 quarters a minute: a bar of 4/4 is 96,000 frames, a beat 24,000. */
const routineAt = (tempo: number, key = 36): Routine => ({
  format: "countercut-routine",
  version: 1,
  title: "Slipway",
  patterns: [
    {
      id: "haul",
      record: { step: "1/8", strokes: [{ move: "forward" }, { move: "back" }, { move: "hold" }] },
      fader: { step: "1/8", cells: [{ fader: "open" }] },
    },
  ],
  beats: [{ id: "winch", step: "1/4", steps: 4, hits: [{ key, at: [0, 1, 2, 3] }] }],
  sections: [
    { id: "one", bars: 2, meter: "4/4", tempo, beat: "winch", placements: [{ pattern: "haul", bar: 1 }] },
    { id: "two", bars: 1, meter: "3/4", tempo, beat: "winch", placements: [] },
  ],
});
const BAR = 4 * UNITS_PER_QUARTER;
const piece = (routine: Routine, rev = 0): Piece => pieceOf(routine, compile(routine), rev);
const sounds: Sounds = {
  samples: new Map(),
  beats: new Map(),
  kit: createKit(),
  clicks: clicksFor({ beat: true, record: false, fader: false }),
};

interface Block extends NonNullable<ReturnType<typeof readHead>> {
  readonly bytes: ArrayBuffer;
}

/** @param later as in Out */
function listen(
  message: Partial<SoundPageMessage<"play">> = {},
  start = piece(routineAt(120)),
  later?: (goOn: () => void) => void,
) {
  const blocks: Block[] = [];
  const said: SoundFromServer[] = [];
  let open = start;
  const alone = new Map<unknown, Piece>();
  const pieceFor = (material: Material): Piece => {
    if (material.kind === "open") return open;
    const known = alone.get(material.routine) ?? piece(material.routine as Routine);
    alone.set(material.routine, known);
    return known;
  };
  const player = new Player(
    {
      type: "play",
      play: 7,
      material: { kind: "open", name: "Slipway" },
      from: null,
      loop: null,
      speed: 1,
      countIn: 0,
      clicks: { beat: true, record: false, fader: false },
      ...message,
    },
    {
      send: (one) => said.push(one),
      block: (bytes) => {
        const head = readHead(new DataView(bytes.buffer));
        if (head === null) throw new Error("no block");
        blocks.push({ ...head, bytes: bytes.buffer as ArrayBuffer });
      },
      ...(later === undefined ? {} : { later }),
    },
    pieceFor,
    () => sounds,
  );
  return {
    player,
    blocks,
    said,
    become: (next: Piece) => {
      open = next;
      player.refresh();
    },
    /** Plays on as a page does, up to a frame. */
    hear(until: number) {
      for (let heard = 0; heard <= until; heard += BLOCK) player.heard(Math.min(heard, until), 0);
      player.heard(until, 0);
    },
    /** What a page hears: for each frame the block of the highest take. */
    heardBeat(from: number, frames: number): Float32Array {
      const out = new Float32Array(frames);
      const take = new Int32Array(frames).fill(-1);
      for (const block of blocks) {
        const beat = channelOf(block.bytes, block.frames, 5);
        for (let index = 0; index < block.frames; index++) {
          const at = block.first + index - from;
          if (at < 0 || at >= frames || block.take < take[at]!) continue;
          out[at] = beat[index]!;
          take[at] = block.take;
        }
      }
      expect(take.indexOf(-1)).toBe(-1);
      return out;
    },
  };
}

function rendered(one: Piece, from: number, frames: number, speed = 1): Float32Array {
  const renderer = createRenderer(one.routine, one.performance, one.timeline, sounds, { speed });
  const out = newChannels(frames);
  renderer.block(from, frames, out);
  return out.beat[0];
}

describe("a play", () => {
  test("is sent a little ahead of what was heard, block after block without a gap", () => {
    const { blocks, hear, player } = listen();
    expect(blocks.at(-1)!.first + BLOCK).toBe(AT_ONCE * BLOCK);
    hear(48_000);
    let next = 0;
    for (const block of blocks) {
      expect(block).toMatchObject({ play: 7, take: 1, first: next });
      next += block.frames;
    }
    expect(next).toBeGreaterThanOrEqual(48_000 + AHEAD);
    expect(next).toBeLessThan(48_000 + AHEAD + BLOCK);
    expect(player.ahead).toBe(next - 48_000);
  });

  test("is the renderer's sound to the sample", () => {
    const one = piece(routineAt(120));
    const play = listen({}, one);
    play.hear(60_000);
    expect(play.heardBeat(0, 60_000)).toEqual(rendered(one, 0, 60_000));
  });

  test("begins anywhere, and says where in the music each block is", () => {
    const { blocks } = listen({ from: { section: "one", at: BAR } });
    expect(blocks[0]).toMatchObject({ section: 0, at: BAR, routineFrame: 96_000, flags: 0 });
    // 960 frames of 24,000 a quarter.
    expect(blocks[0]!.atEnd).toBeCloseTo(BAR + (UNITS_PER_QUARTER * 960) / 24_000, 3);
  });

  test("ends with the routine: the last block is marked, and its length is told", () => {
    const { blocks, said, hear } = listen({ from: { section: "two", at: 0 } });
    hear(3 * 24_000);
    expect(said).toEqual([{ type: "end", play: 7, frames: 72_000 }]);
    expect(blocks.filter(({ flags }) => flags === LAST).map(({ first, frames }) => first + frames)).toEqual([
      72_000,
    ]);
  });

  test("goes on where the music is by then, where a page waited for it: what it passed over is not sent", () => {
    const one = piece(routineAt(120));
    const play = listen({}, one);
    const { blocks } = play;
    play.hear(9_600);
    const before = blocks.length;
    play.player.heard(60_100, 1);
    expect(blocks[before]!.first).toBe(Math.floor(60_100 / BLOCK) * BLOCK);
    play.hear(80_000);
    expect(play.heardBeat(60_480, 19_520)).toEqual(rendered(one, 60_480, 19_520));
  });

  test("follows a page that claims to have heard what was never sent two seconds at a time", () => {
    const { player, blocks } = listen();
    player.heard(1e12, 0);
    const { first } = blocks.at(-1)!;
    expect(first).toBeGreaterThanOrEqual(AT_ONCE * BLOCK + MOST_PASSED);
    expect(first).toBeLessThan(2 * AT_ONCE * BLOCK + MOST_PASSED);
  });
});

describe("a loop", () => {
  const loop = { from: { section: "one", at: 0 }, to: { section: "one", at: BAR } };

  test("of ten minutes is exact to the sample at its end", () => {
    // 97 quarters a minute: a bar is 118,762.88… frames, no whole number.
    const one = piece(routineAt(97));
    const play = listen({ loop, from: loop.from }, one);
    const exact = (4 * 60 * 48_000) / 97;
    const rounds = Math.floor((600 * 48_000) / exact);
    const [last, end] = [Math.round((rounds - 1) * exact), Math.round(rounds * exact)];
    // A page that passes over most of it, so that the test need not render ten minutes.
    for (let frame = 0; frame < last - 9_600; frame += MOST_PASSED) play.player.heard(frame, 0);
    play.hear(end + 9_600);
    const leaps = play.blocks.filter(({ flags, first }) => (flags & LEAPT) !== 0 && first >= last);
    expect(leaps.map(({ first }) => first)).toEqual([last, end]);
    expect(play.heardBeat(last, end - last).subarray(96)).toEqual(rendered(one, 0, end - last).subarray(96));
    expect(play.heardBeat(end, 9_600).subarray(96)).toEqual(rendered(one, 0, 9_600).subarray(96));
  });

  test("entered from outside begins at its start; from inside, where one is", () => {
    expect(listen({ loop, from: { section: "two", at: 0 } }).blocks[0]!.at).toBeCloseTo(0, 3);
    expect(listen({ loop, from: { section: "one", at: BAR / 2 } }).blocks[0]!.at).toBeCloseTo(BAR / 2, 3);
  });
});

describe("a count-in", () => {
  test("counts its bars in the tempo and metre of where it begins, and then begins exactly", () => {
    const { blocks, hear } = listen({ countIn: 1, from: { section: "two", at: 0 } });
    hear(80_000);
    const counted = blocks.filter(({ flags }) => (flags & COUNTING_IN) !== 0);
    expect(counted.reduce((sum, { frames }) => sum + frames, 0)).toBe(3 * 24_000);
    expect(new Set(counted.map(({ at }) => Math.round(at)))).toEqual(new Set([0]));
    const first = blocks.find(({ flags }) => (flags & COUNTING_IN) === 0)!;
    expect(first).toMatchObject({ first: 72_000, section: 1, at: 0 });
    const clicks = channelOf(counted[0]!.bytes, counted[0]!.frames, 7);
    expect(Math.max(...clicks)).toBeGreaterThan(0.05);
  });

  test("is not started again by an edit that comes while it counts", () => {
    const play = listen({ countIn: 1 });
    play.hear(24_000);
    play.become(piece(routineAt(120, 38), 1));
    play.hear(110_000);
    const first = play.blocks.find(({ flags }) => (flags & COUNTING_IN) === 0)!;
    expect(first).toMatchObject({ first: 96_000, routineFrame: 0, rev: 1 });
  });
});

describe("a drill of rounds", () => {
  /** The first bar of "one", counted in by two beats, with a second of rest. */
  const round = (number: number, change: Partial<Round> = {}): Round => ({
    number,
    range: { from: { section: "one", at: 0 }, to: { section: "one", at: BAR } },
    speed: 1,
    countIn: { count: 2, by: "beat" },
    rest: 1,
    silent: false,
    ...change,
  });
  const begun = (said: readonly SoundFromServer[]) =>
    said.flatMap((one) => (one.type === "round" ? [[one.frame, one.round.number, one.round.speed]] : []));
  /** Two beats of 24,000, four beats, 48,000 of rest. */
  const LONG = 48_000 + 96_000 + 48_000;

  test("counts in, plays the range once, rests, and begins the next at its own speed", () => {
    const one = piece(routineAt(120));
    const play = listen({ rounds: [round(0), round(1, { speed: 0.5 })] }, one);
    play.hear(2 * LONG + 10_000);
    expect(begun(play.said)).toEqual([
      [0, 0, 1],
      [LONG, 1, 0.5],
    ]);
    const marks = (flag: number) =>
      play.blocks.filter(({ flags }) => (flags & flag) !== 0).reduce((sum, { frames }) => sum + frames, 0);
    // The second counts for 96,000 frames, and is not through.
    expect(marks(COUNTING_IN)).toBe(48_000 + 96_000);
    expect(marks(RESTING)).toBe(48_000);
    expect(play.heardBeat(48_000, 96_000)).toEqual(rendered(one, 0, 96_000));
    const dying = play.heardBeat(144_000, 48_000);
    expect(Math.max(...dying.subarray(480).map(Math.abs))).toBe(0);
    expect(play.heardBeat(LONG + 96_000, 50_000)).toEqual(rendered(one, 0, 50_000, 0.5));
  });

  test("goes on with the last one where no other was said, and never ends by itself", () => {
    const play = listen({ rounds: [round(4, { rest: 0 })] });
    play.hear(3 * 144_000);
    expect(begun(play.said).map(([, number]) => number)).toEqual([4, 5, 6, 7]);
    expect(play.blocks.some(({ flags }) => (flags & LAST) !== 0)).toBe(false);
  });

  test("takes what is said while it rests for the next round, and too late for the one after", () => {
    const play = listen({ rounds: [round(0)] });
    play.hear(170_000);
    play.player.plan([round(1, { speed: 1.1 })]);
    play.hear(LONG - 3_000);
    // Sent ahead already: it has begun.
    play.player.plan([round(1, { speed: 0.5 }), round(2, { speed: 1.2 })]);
    play.hear(2 * LONG);
    expect(begun(play.said).map(([, number, speed]) => [number, speed])).toEqual([
      [0, 1],
      [1, 1.1],
      [2, 1.2],
    ]);
  });

  test("of silence is counted in, and then nothing is heard", () => {
    const play = listen({ rounds: [round(0, { silent: true })] });
    play.hear(144_000);
    const loudest = (from: number, to: number, channel: number): number =>
      Math.max(
        ...play.blocks
          .filter(({ first }) => first >= from && first < to)
          .flatMap(({ bytes, frames }) => [...channelOf(bytes, frames, channel)].map(Math.abs)),
      );
    expect(loudest(0, 48_000, 7)).toBeGreaterThan(0.05);
    expect(loudest(48_000, 144_000, 5)).toBe(0);
    expect(play.blocks.find(({ first }) => first === 48_000 + 2 * BLOCK)!.at).toBeCloseTo(
      (UNITS_PER_QUARTER * 2 * BLOCK) / 24_000,
      3,
    );
  });

  test("counts bars in the metre of where it begins: three beats in one of 3/4", () => {
    const range = { from: { section: "two", at: 0 }, to: { section: "two", at: (BAR * 3) / 4 } };
    const play = listen({ rounds: [round(0, { range, countIn: { count: 1, by: "bar" } })] });
    play.hear(80_000);
    expect(play.blocks.find(({ flags }) => flags === 0)!.first).toBe(3 * 24_000);
  });

  test("counts by the group of a hand", () => {
    // Three strokes of an eighth: a group of 36,000 frames.
    const play = listen({ rounds: [round(0, { countIn: { count: 3, by: "record" } })] });
    play.hear(120_000);
    expect(play.blocks.find(({ flags }) => flags === 0)!.first).toBe(108_000);
  });

  test("hears an edit in the middle of a round, which still ends where it ended", () => {
    const play = listen({ rounds: [round(0), round(1)] });
    play.hear(100_000);
    play.become(piece(routineAt(120, 38), 1));
    play.hear(LONG + 1_000);
    expect(play.heardBeat(100_000 + LEAD, 40_000)).toEqual(
      rendered(piece(routineAt(120, 38)), 52_000 + LEAD, 40_000),
    );
    expect(begun(play.said)).toEqual([
      [0, 0, 1],
      [LONG, 1, 1],
    ]);
  });

  test("hears an edit at the very end of a round or of its rest: the next begins with it, at its time", () => {
    for (const at of [144_000 - 2_000, LONG - 2_000]) {
      const play = listen({ rounds: [round(0), round(1)] });
      play.hear(at);
      play.become(piece(routineAt(120, 38), 1));
      play.hear(LONG + 60_000);
      expect(begun(play.said).at(-1)).toEqual([LONG, 1, 1]);
      expect(play.heardBeat(LONG + 48_000, 10_000)).toEqual(rendered(piece(routineAt(120, 38)), 0, 10_000));
    }
  });

  test("ends with a sentence where what it goes over is gone", () => {
    const play = listen({
      rounds: [round(0, { range: { from: { section: "x", at: 0 }, to: { section: "x", at: 1 } } })],
    });
    expect(play.said).toEqual([
      {
        type: "sorry",
        play: 7,
        message: "What is practised is not in the routine any more. Choose another part.",
      },
    ]);
  });
});

describe("going to a place", () => {
  test("at the next bar goes on to the bar's end first", () => {
    const one = piece(routineAt(120));
    const play = listen({}, one);
    play.hear(30_000);
    play.player.seek({ section: "two", at: 0 }, "bar");
    play.hear(150_000);
    const heard = play.heardBeat(0, 150_000);
    expect(heard.subarray(0, 96_000)).toEqual(rendered(one, 0, 96_000));
    expect(heard.subarray(96_000)).toEqual(rendered(one, 2 * 96_000, 54_000));
  });
});

describe("what changes while it plays", () => {
  test("is rendered again from 30 ms after what was heard, at the same place, as a new take", () => {
    const [before, after] = [piece(routineAt(120), 0), piece(routineAt(120, 38), 1)];
    const play = listen({}, before);
    play.hear(40_000);
    play.become(after);
    const anew = play.blocks.filter(({ take }) => take === 2);
    expect(anew[0]).toMatchObject({ first: 40_000 + LEAD, routineFrame: 40_000 + LEAD, rev: 1 });
    play.hear(60_000);
    const heard = play.heardBeat(0, 60_000);
    expect(heard.subarray(0, 40_000 + LEAD)).toEqual(rendered(before, 0, 40_000 + LEAD));
    expect(heard.subarray(40_000 + LEAD)).toEqual(rendered(after, 40_000 + LEAD, 20_000 - LEAD));
  });

  test("is rendered a few blocks at a time, others having their turn between; a newer change takes its place", () => {
    const put: (() => void)[] = [];
    const play = listen({}, piece(routineAt(120)), (goOn) => put.push(goOn));
    const turns = (): void => {
      for (let next = put.shift(); next !== undefined; next = put.shift()) next();
    };
    turns();
    play.hear(40_000);
    turns();
    const of = (take: number) => play.blocks.filter((block) => block.take === take).length;
    play.become(piece(routineAt(120, 38), 1));
    const slice = of(2);
    expect([slice > 0, slice < AT_ONCE, put.length]).toEqual([true, true, 1]);
    put.shift()!();
    expect([of(2), put.length]).toEqual([2 * slice, 1]);
    play.become(piece(routineAt(120, 40), 2));
    turns();
    // What was put off of the change before is not rendered any more.
    expect([of(2), of(3)]).toEqual([2 * slice, AT_ONCE]);
    const [first, ...rest] = play.blocks.filter(({ take }) => take === 3);
    expect(first).toMatchObject({ first: 40_000 + LEAD, rev: 2 });
    rest.reduce((before, block) => {
      expect(block.first).toBe(before.first + before.frames);
      return block;
    }, first!);
  });

  test("keeps its place in the music where the tempo changes", () => {
    const play = listen({}, piece(routineAt(120)));
    play.hear(48_000);
    play.become(piece(routineAt(60), 1));
    const anew = play.blocks.find(({ take }) => take === 2)!;
    expect(anew.at / UNITS_PER_QUARTER).toBeCloseTo((48_000 + LEAD) / 24_000, 3);
  });

  test("keeps its place where a section before it goes, and begins anew where its own goes", () => {
    const routine = routineAt(120);
    const play = listen({ from: { section: "two", at: 0 } }, piece(routine));
    play.hear(24_000);
    play.become(piece({ ...routine, sections: [routine.sections[1]!] }, 1));
    expect(play.blocks.findLast(({ take }) => take === 2)!.section).toBe(0);
    expect(play.blocks.find(({ take }) => take === 2)!.at / UNITS_PER_QUARTER).toBeCloseTo(
      25_440 / 24_000,
      3,
    );
    play.become(piece({ ...routine, sections: [routine.sections[0]!] }, 2));
    expect(play.blocks.find(({ take }) => take === 3)!.at).toBeCloseTo(0, 3);
  });

  test("may be the speed: half is twice as long, from the same place", () => {
    const play = listen();
    play.hear(24_000);
    play.player.refresh({ speed: 0.5 });
    const anew = play.blocks.find(({ take }) => take === 2)!;
    expect(anew.at / UNITS_PER_QUARTER).toBeCloseTo((24_000 + LEAD) / 24_000, 3);
    expect((anew.atEnd - anew.at) / UNITS_PER_QUARTER).toBeCloseTo(960 / 48_000, 6);
  });
});

describe("going over to another phrase", () => {
  const alone = (key: number): Material => ({ kind: "alone", routine: routineAt(120, key) as never });

  test("happens at the next beat, bar or group to the sample, and is told", () => {
    for (const [when, at] of [
      ["beat", 48_000],
      ["bar", 96_000],
      ["group", 36_000],
    ] as const) {
      const play = listen();
      play.hear(30_000);
      play.player.next(alone(38), when);
      play.hear(100_000);
      expect(play.said).toEqual([{ type: "switched", play: 7, frame: at }]);
      const heard = play.heardBeat(0, 100_000);
      const next = piece(routineAt(120, 38));
      expect(heard.subarray(at)).toEqual(rendered(next, 0, 100_000 - at));
    }
  });

  test("a second choice before then takes the place of the first", () => {
    const play = listen();
    play.hear(30_000);
    play.player.next(alone(38), "bar");
    play.player.next(alone(42), "bar");
    play.hear(100_000);
    expect(play.said).toHaveLength(1);
    expect(play.heardBeat(96_000, 4_000)).toEqual(rendered(piece(routineAt(120, 42)), 0, 4_000));
  });

  test("is taken back by a word before it is heard, also where it was sent already", () => {
    for (const at of [30_000, 96_000 - LEAD - 1_000]) {
      const play = listen();
      play.hear(30_000);
      play.player.next(alone(38), "bar");
      play.hear(at);
      play.player.keep();
      play.hear(110_000);
      expect(play.heardBeat(0, 110_000)).toEqual(rendered(piece(routineAt(120)), 0, 110_000));
    }
  });

  test("still happens at its time where something is edited just before", () => {
    const play = listen();
    play.hear(30_000);
    play.player.next(alone(38), "bar");
    play.hear(90_000);
    play.become(piece(routineAt(120, 42), 1));
    play.hear(110_000);
    const heard = play.heardBeat(0, 110_000);
    expect(heard.subarray(90_000 + LEAD, 96_000)).toEqual(
      rendered(piece(routineAt(120, 42)), 90_000 + LEAD, 6_000 - LEAD),
    );
    expect(heard.subarray(96_000)).toEqual(rendered(piece(routineAt(120, 38)), 0, 14_000));
  });

  test("what was gone over to goes round as a whole", () => {
    const play = listen({ material: alone(36) });
    // Two bars of four and one of three, at 120: 264,000 frames.
    play.hear(300_000);
    expect(play.blocks.filter(({ flags }) => (flags & LEAPT) !== 0).map(({ first }) => first)).toEqual([
      264_000,
    ]);
  });
});

test("a block's bytes are its head and nine channels", () => {
  const { blocks } = listen();
  expect(blocks[0]!.bytes.byteLength).toBe(HEAD_BYTES + 9 * BLOCK * 4);
  const [head, ...rest] = [0x63, 0x63, 1, 0, 7, 0, 0, 0];
  expect([...new Uint8Array(blocks[0]!.bytes, 0, 8)]).toEqual([head, ...rest]);
});
