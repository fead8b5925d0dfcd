/**
 * node tests/run.mjs tests/long/soak.ts [SECONDS [WORDS OF A LOAD]]
 * Load on a server of its own process: edits a second, how long until each is acknowledged, and memory.
 */
import { spawn } from "node:child_process";
import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { SOUND_WIRE } from "../../schemas/soundBlock.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { writeRoutine } from "../../server/routine/write.ts";
import { connect, SoakPage, type Where } from "./soakPage.ts";

interface Load {
  readonly what: string;
  readonly pages: number;
  readonly routines: number;
  readonly editsPerSecond: number;
  readonly sound: boolean;
  /** Milliseconds at the 99th percentile. */
  readonly goal: number;
}

const LOADS: readonly Load[] = [
  { what: "5 tabs, sound running", pages: 5, routines: 1, editsPerSecond: 200, sound: true, goal: 25 },
  {
    what: "50 clients on 10 routines",
    pages: 50,
    routines: 10,
    editsPerSecond: 2_000,
    sound: false,
    goal: 50,
  },
  {
    what: "500 connected",
    pages: 500,
    routines: 1,
    editsPerSecond: 2,
    sound: false,
    goal: Number.POSITIVE_INFINITY,
  },
];

const MEMORY_GOAL = 150;

/** Seconds of a load in which the program becomes warm: what comes after them is told apart. */
const LEAD_IN = 8;

/** @param sorted milliseconds */
const at = (sorted: readonly number[], part: number): number =>
  sorted[Math.min(sorted.length - 1, Math.floor(part * sorted.length))] ?? Number.NaN;

/** Each page changes a section of its own; one in so many of its edits is of the title, where it may meet others. */
const MEETING = 50;

/** @param script `served.mjs`, or `bare.mjs`: what sockets and disk alone can do on this machine at this moment */
async function start(script: string, folder: string): Promise<Where & { pid: number; end: () => void }> {
  const child = spawn(process.execPath, [new URL(`./${script}`, import.meta.url).pathname, folder], {
    stdio: ["ignore", "pipe", "inherit"],
  });
  const first = await new Promise<string>((resolve, reject) => {
    child.stdout.once("data", (data: Buffer) => resolve(String(data)));
    child.once("close", () => reject(new Error("the server ended")));
  });
  return { ...(JSON.parse(first) as Where), pid: child.pid ?? 0, end: () => child.kill("SIGKILL") };
}

async function megabytesOf(pid: number): Promise<number> {
  const status = await readFile(`/proc/${pid}/status`, "utf8").catch(() => "");
  return Number(/VmRSS:\s+(\d+)/.exec(status)?.[1] ?? Number.NaN) / 1024;
}

/** Milliseconds of processor time that a process has used; unlike waiting, it hardly depends on what else runs. */
async function busyOf(pid: number): Promise<number> {
  const stat = await readFile(`/proc/${pid}/stat`, "utf8").catch(() => "");
  const fields = stat.slice(stat.lastIndexOf(")") + 2).split(" ");
  // User and system time, the 14th and 15th field (proc(5)), in hundredths of a second.
  return (Number(fields[11]) + Number(fields[12])) * 10;
}

const rest = (milliseconds: number): Promise<void> =>
  new Promise((resolve) => setTimeout(resolve, milliseconds));

/** A page that listens to a routine, so that sound is rendered and sent all the while; once its samples are prepared. */
async function listen(where: Where, name: string): Promise<{ end: () => void; frames: () => number }> {
  const socket = connect(where, "/sound");
  let blocks = 0;
  const started = performance.now();
  socket.on("error", () => undefined);
  socket.on("open", () => {
    socket.send(JSON.stringify({ type: "hello", wire: SOUND_WIRE, token: where.bearer }));
    socket.send(
      JSON.stringify({
        type: "play",
        play: 1,
        material: { kind: "open", name },
        from: null,
        loop: null,
        speed: 1,
        countIn: 0,
        clicks: { beat: true, record: false, fader: false },
      }),
    );
  });
  const prepared = new Promise<void>((resolve) => {
    socket.on("message", (data, binary) => {
      if (binary) blocks++;
      else if (/"type":"preparing".*"done":true/.test(String(data))) resolve();
    });
  });
  const report = setInterval(() => {
    if (socket.readyState !== socket.OPEN) return;
    const frames = Math.floor((performance.now() - started) * 48);
    socket.send(JSON.stringify({ type: "heard", play: 1, frames, underruns: 0 }));
  }, 50);
  await prepared;
  return {
    end() {
      clearInterval(report);
      socket.terminate();
    },
    frames: () => blocks,
  };
}

interface Ran {
  readonly met: boolean;
  /** Milliseconds at the 99th percentile. */
  readonly slow: number;
}

/** @param seconds after the lead-in */
async function run(load: Load, seconds: number, script: string): Promise<Ran> {
  const folder = await mkdtemp(join(tmpdir(), "soak-"));
  const names = Array.from({ length: load.routines }, (_, index) => `Routine ${index + 1}`);
  for (const name of names) await writeFile(join(folder, `${name}.routine.json`), writeRoutine(DEMO));
  const server = await start(script, folder);
  try {
    const memoryBefore = await megabytesOf(server.pid);
    const pages: SoakPage[] = [];
    for (let index = 0; index < load.pages; index++) {
      const page = new SoakPage(server, names[index % names.length] as string);
      pages.push(page);
      await page.ready;
    }
    const sound = load.sound && script !== "bare.mjs" ? await listen(server, names[0] as string) : null;
    await rest(1_000);
    const busyBefore = await busyOf(server.pid);
    const begin = performance.now();
    let sent = 0;
    while (performance.now() - begin < (LEAD_IN + seconds) * 1_000) {
      // As many as are due by now, so that a late timer does not lower the rate.
      for (const due = ((performance.now() - begin) / 1_000) * load.editsPerSecond; sent < due; sent++) {
        const page = sent % pages.length;
        const turn = Math.floor(sent / pages.length);
        const own = DEMO.sections[Math.floor(page / names.length) % DEMO.sections.length]?.id;
        const edit =
          (turn + page) % MEETING === 0
            ? { kind: "title", title: `Night Ferry ${sent}` }
            : { kind: "change-section", id: own, set: { pitch: (sent % 79) / 10 - 4 } };
        pages[page]?.want(`operation-${sent}`, edit);
      }
      await rest(2);
    }
    const took = (performance.now() - begin) / 1_000;
    const last = performance.now() + 10_000;
    while (pages.some(({ pending }) => pending > 0) && performance.now() < last) await rest(20);

    const waits = pages.flatMap((page) => page.waits);
    const sorted = (from: number): number[] =>
      waits
        .filter(({ since }) => since >= from)
        .map(({ took }) => took)
        .sort((a, b) => a - b);
    const [all, warm] = [sorted(begin), sorted(begin + LEAD_IN * 1_000)];
    const memory = await megabytesOf(server.pid);
    const busy = ((await busyOf(server.pid)) - busyBefore) / waits.length;
    const dropped = pages.filter((page) => page.dropped).length;
    const refused = pages.reduce((sum, page) => sum + page.refused, 0);
    const stale = pages.reduce((sum, page) => sum + page.stale, 0);
    console.log(
      `${load.what}${script === "bare.mjs" ? ", bare parts" : ""}: ${(sent / took).toFixed(0)} edits a second for ${took.toFixed(0)} s; ${waits.length} of ${sent} acknowledged (${refused} refused, ${stale} times stale), half within ${at(all, 0.5).toFixed(1)} ms, 99 % within ${at(all, 0.99).toFixed(1)} ms, all within ${at(all, 1).toFixed(1)} ms (after the first ${LEAD_IN} s ${at(warm, 0.5).toFixed(1)}, ${at(warm, 0.99).toFixed(1)}, ${at(warm, 1).toFixed(1)} ms); ${busy.toFixed(2)} ms of processor an edit; ${dropped} dropped; ${memory.toFixed(0)} MB, ${memoryBefore.toFixed(0)} of them before the first page${sound === null ? "" : `; ${sound.frames()} blocks of sound`}`,
    );
    sound?.end();
    for (const page of pages) page.end();
    const memoryHolds = load.pages < 500 || memory < MEMORY_GOAL;
    const met = waits.length === sent && dropped === 0 && at(all, 0.99) <= load.goal && memoryHolds;
    return { met, slow: at(all, 0.99) };
  } finally {
    server.end();
    await rest(100);
    await rm(folder, { recursive: true, force: true });
  }
}

/** @param only loads whose name has these words */
export async function main([seconds = "20", only = ""]: string[]): Promise<number> {
  let all = true;
  for (const load of LOADS.filter(({ what }) => what.includes(only))) {
    const { met, slow } = await run(load, Number(seconds), "served.mjs");
    all = met && all;
    if (met || !Number.isFinite(load.goal)) continue;
    // A goal that was missed says little where the machine itself was slow: the same load on sockets and disk alone.
    const bare = await run(load, Number(seconds), "bare.mjs");
    console.log(
      `  99 % within ${(slow / bare.slow).toFixed(1)} times what bare parts take here (goal ${load.goal} ms)`,
    );
  }
  console.log(all ? "All goals are met." : "A goal is not met.");
  return all ? 0 : 1;
}
