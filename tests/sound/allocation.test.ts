/** The inner loop allocates nothing: measured on the built program, whose code is what runs. */
import { execFileSync } from "node:child_process";
import { expect, it } from "vitest";

const PROGRAM = `
const dist = (path) => import(${JSON.stringify(new URL("../../dist/", import.meta.url).href)} + path + ".js");
const { compile } = await dist("server/routine/compile");
const { DEMO } = await dist("server/routine/demo");
const { createKit } = await dist("server/sound/kit");
const { createClicks } = await dist("server/sound/clicks");
const { loopOf } = await dist("server/sound/loop");
const { mix, DEFAULT_LEVELS } = await dist("server/sound/mix");
const { createRenderer, newChannels } = await dist("server/sound/render");
const { builtInSample } = await dist("server/sound/samples");
const { buildTables } = await dist("server/sound/tables");
const { timelineOf } = await dist("server/time/timeline");
const { createLimiter } = await dist("schemas/limiter");
const performance = compile(DEMO);
const tables = buildTables(builtInSample("tone", 1.8), { repeatSeconds: 1.8, fastest: 8 });
const samples = new Map([["voice", tables], ["horn", tables]]);
const sounds = { samples, beats: new Map(), kit: createKit(), clicks: createClicks() };
const renderer = createRenderer(DEMO, performance, timelineOf(DEMO.sections, performance.sections), sounds);
const SIZE = 1024, STRETCH = 65_536, BLOCKS = (2 * STRETCH) / SIZE;
const channels = newChannels(SIZE);
const [left, right] = [new Float32Array(SIZE), new Float32Array(SIZE)];
const out = [left, right];
const limiter = createLimiter();
// A loop that lies in stretches that are known, with a seam in every third block.
const loop = loopOf(renderer, 20 * STRETCH + 1000.5, 3333.3);
function once(source, from) {
  for (let at = from; at < from + BLOCKS * SIZE; at += SIZE) {
    source.block(at, SIZE, channels);
    mix(channels, DEFAULT_LEVELS, SIZE, out);
    limiter.process(left, right, SIZE);
  }
}
const figures = {};
for (const [name, source, from] of [["range", renderer, 20 * STRETCH], ["loop", loop, 0]]) {
  // Until the compiler has come to it, which on a busy machine takes a while: what still allocates then, always does.
  let least = Infinity;
  for (let i = 0; i < 40 && least >= 64; i++) {
    for (let round = 0; round < 5; round++) once(source, from);
    gc();
    const before = process.memoryUsage().heapUsed;
    for (let round = 0; round < 3; round++) once(source, from);
    least = Math.min(least, (process.memoryUsage().heapUsed - before) / (3 * BLOCKS));
  }
  figures[name] = least;
}
console.log(JSON.stringify(figures));
`;

it("allocates less than a number's worth a block of 1024 frames, in a range and round a loop", () => {
  const text = execFileSync(process.execPath, ["--expose-gc", "--input-type=module", "-e", PROGRAM], {
    encoding: "utf8",
  });
  const bytes = JSON.parse(text) as { range: number; loop: number };
  // Asking for the heap's size takes some bytes itself; one double a cell of 16 frames would be 768 and more.
  expect(bytes.range).toBeLessThan(64);
  expect(bytes.loop).toBeLessThan(64);
});
