/** The server as it is served: page, sockets and files over real connections. */
import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { unzipSync } from "fflate";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { wavBytes } from "../../schemas/wavBytes.ts";
import { HEARD_COLUMNS } from "../../schemas/sound.ts";
import { readHead } from "../../schemas/soundBlock.ts";
import { clipFiles } from "../../server/clips/clipFiles.ts";
import { compile } from "../../server/routine/compile.ts";
import { parseRoutine } from "../../server/routine/parse.ts";
import { createMeter } from "../../server/sound/loudness.ts";
import { readWav } from "../../server/sound/wavread.ts";
import { parseWhole } from "../live/insides.ts";
import { NAME, startServer } from "./rig.ts";

let server: Awaited<ReturnType<typeof startServer>>;
beforeAll(async () => {
  server = await startServer();
});
afterAll(() => server.close());

/** A second of a square of about 440 Hz. */
const wav = (): Buffer =>
  Buffer.from(
    wavBytes([Float32Array.from({ length: 48_000 }, (_, at) => (at % 109 < 55 ? 0.25 : -0.25))], 48_000, 16),
  );

describe("the page", () => {
  test("comes without a bearer, everything else does not", async () => {
    expect(await (await fetch(server.address)).text()).toBe("<!doctype html>");
    const clips = `${server.address}/routines/${encodeURIComponent(NAME)}/clips`;
    expect((await fetch(clips)).status).toBe(401);
    expect((await fetch(`${server.address}/nothing`)).status).toBe(404);
  });

  test("a link lets in once", async () => {
    const exchange = () =>
      fetch(`${server.address}/session`, {
        method: "POST",
        headers: { origin: server.address, "content-type": "application/json" },
        body: JSON.stringify({ token }),
      });
    const token = server.live.link().split("#t=")[1];
    expect((await exchange()).status).toBe(200);
    const again = await exchange();
    expect(again.status).toBe(401);
    expect((await again.json()).error.message).toContain("countercut serve");
  });
});

describe("the socket of edits", () => {
  test("opens, edits, undoes; another page is told; the file on disk follows", async () => {
    const [one, two] = [await server.socket("/live"), await server.socket("/live")];
    for (const socket of [one, two]) {
      await socket.ofType("welcome");
      socket.say({ type: "open", ask: 1, name: NAME });
      parseWhole(await socket.ofType("routine"));
    }
    one.say({
      type: "edit",
      name: NAME,
      opId: "socket-op-1",
      base: 0,
      edit: { kind: "title", title: "Ferry" },
    });
    expect(await one.ofType("ack")).toMatchObject({ opId: "socket-op-1", rev: 1 });
    expect(parseWhole(await two.ofType("changed"))).toMatchObject({
      rev: 1,
      patch: { title: "Ferry" },
    });
    two.say({ type: "undo", name: NAME, opId: "socket-op-2", base: 1 });
    expect(await two.ofType("ack")).toMatchObject({ opId: "socket-op-2", rev: 2 });
    const opened = await server.live.open(NAME);
    expect(opened.present.worked.routine.title).toBe(NAME);
    const journal = await readFile(join(server.path, `.${NAME}.journal`), "utf8");
    expect(journal).toContain("socket-op-1");
    one.close();
    two.close();
  });
});

describe("files to take away", () => {
  test("the clips are those of the routine, one by one and in the zip", async () => {
    const { routine } = (await server.live.open(NAME)).present.worked;
    const expected = clipFiles(routine, compile(routine)).files;
    const list = await (await server.fetch("/clips")).json();
    expect(list.clips.map(({ file }: { file: string }) => file)).toEqual(expected.map(({ name }) => name));
    const lines = (await (await server.fetch("/clips?told")).text()).trimEnd().split("\n");
    expect(JSON.parse(lines.at(-1)!)).toEqual({ answer: list });
    const [first] = expected;
    const answer = await server.fetch(`/clips/${encodeURIComponent(first!.name)}`);
    expect(answer.headers.get("content-disposition")).toContain(`attachment; filename="${first!.name}"`);
    expect(answer.headers.get("content-type")).toBe("audio/midi");
    expect(new Uint8Array(await answer.arrayBuffer())).toEqual(new Uint8Array(first!.bytes));
    const zip = unzipSync(new Uint8Array(await (await server.fetch("/clips.zip")).arrayBuffer()));
    expect(Object.keys(zip)).toEqual([...expected.map(({ name }) => name), "sections.csv"]);
  });

  test("another resolution is another file, and a wrong one is refused", async () => {
    const sizes = await Promise.all(
      ["/clips?ppq=480", "/clips"].map(async (route) => (await (await server.fetch(route)).json()).ppq),
    );
    expect(sizes).toEqual([480, 960]);
    expect((await server.fetch("/clips?ppq=0")).status).toBe(422);
    expect((await server.fetch("/clips?told&ppq=0")).status).toBe(422);
    expect((await server.fetch("/clips/none.mid")).status).toBe(404);
  });

  test("a section comes as WAV, as long as it is", async () => {
    const { performance, routine } = (await server.live.open(NAME)).present.worked;
    const section = routine.sections[1]!.id;
    const answer = await server.fetch(`/sound.wav?part=beat&section=${section}`);
    const read = readWav(new Uint8Array(await answer.arrayBuffer()));
    if (!("wav" in read)) throw new Error(read.problem);
    const { startSeconds, endSeconds } = performance.sections[1]!;
    expect(Math.abs(read.wav.channels[0]!.length - (endSeconds - startSeconds) * 48_000)).toBeLessThanOrEqual(
      1,
    );
    expect(answer.headers.get("content-disposition")).toMatch(
      new RegExp(`filename="\\d\\d_${section}_beat_\\d\\dbars_[\\d.-]+bpm_\\d-\\d\\.wav"`),
    );
    // What was measured is known once the file was taken, and is that file's.
    const meter = createMeter();
    const [left, right] = read.wav.channels;
    meter.add(left!, right ?? left!, left!.length);
    const measured = await (await server.fetch(`/loudness?part=beat&section=${section}`)).json();
    expect(measured.integrated).toBeCloseTo(meter.integrated(), 1);
    expect(measured.truePeak).toBeCloseTo(meter.truePeak(), 1);
    expect(measured.truePeak).toBeLessThan(-1);
    expect((await server.fetch("/loudness?part=mix")).status).toBe(404);
    expect((await server.fetch("/sound.wav?part=everything")).status).toBe(422);
    expect((await server.fetch("/sound.wav?section=pier")).status).toBe(404);
  });
});

test("the picture of what is heard comes as bytes, so many a bar", async () => {
  const { routine } = (await server.live.open(NAME)).present.worked;
  const section = routine.sections[1]!;
  const answer = await server.fetch(`/heard/${section.id}`);
  const bytes = new Uint8Array(await answer.arrayBuffer());
  expect(answer.headers.get("content-type")).toBe("application/octet-stream");
  expect(bytes).toHaveLength(section.bars * HEARD_COLUMNS);
  expect(bytes.some((value) => value > 0)).toBe(true);
  expect((await server.fetch("/heard/pier")).status).toBe(204);
  // A routine that went to the bin while it was asked for.
  expect((await server.fetch(`/../Gone/heard/${section.id}`)).status).toBe(204);
  const alone = (body: unknown) =>
    server.fetch("/heard", {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(body),
    });
  const byItself = await alone({ ...routine, sections: [routine.sections[0]] });
  const first = await server.fetch(`/heard/${routine.sections[0]!.id}`);
  expect(await byItself.arrayBuffer()).toEqual(await first.arrayBuffer());
  expect((await alone({ ...routine, sections: [] })).status).toBe(422);
});

describe("sounds that are brought", () => {
  const put = (file: string, body: Buffer) =>
    server.fetch(`/sounds/${encodeURIComponent(file)}`, {
      method: "PUT",
      headers: { "content-type": "audio/wav" },
      body: new Uint8Array(body),
    });

  test("are kept beside the routine whole, listed, and given back", async () => {
    expect((await put("horn.wav", wav())).status).toBe(201);
    expect(await (await server.fetch("/sounds")).json()).toEqual({
      sounds: [{ file: "horn.wav", bytes: 96_044 }],
    });
    const back = Buffer.from(await (await server.fetch("/sounds/horn.wav")).arrayBuffer());
    expect(back.equals(wav())).toBe(true);
    expect(await readdir(join(server.path, `${NAME}.sounds`))).toEqual(["horn.wav"]);
  });

  test("are refused where they are no sound or have a name that is none, and nothing is left behind", async () => {
    const broken = await put("broken.wav", Buffer.from("RIFF and nothing more"));
    expect(broken.status).toBe(422);
    expect((await broken.json()).error.message).toMatch(/^broken\.wav: /);
    for (const name of ["horn.mp3", "con.wav", ".hidden.wav"])
      expect((await put(name, wav())).status).toBe(422);
    expect(await readdir(join(server.path, `${NAME}.sounds`))).toEqual(["horn.wav"]);
  });
});

describe("the socket of sound", () => {
  test("streams blocks ahead of what was heard, and an edit is in the next ones", async () => {
    const [sound, live] = [await server.socket("/sound"), await server.socket("/live")];
    await sound.ofType("welcome");
    live.say({ type: "open", ask: 1, name: NAME });
    const { rev } = await live.ofType("routine");
    const { routine } = (await server.live.open(NAME)).present.worked;
    const from = { section: routine.sections[1]!.id, at: 0 };
    sound.say({
      type: "play",
      play: 3,
      material: { kind: "open", name: NAME },
      from,
      loop: null,
      speed: 1,
      countIn: 0,
      clicks: { beat: true, record: false, fader: false },
    });
    const head = (message: Record<string, unknown> | Buffer) =>
      Buffer.isBuffer(message)
        ? readHead(new DataView(message.buffer, message.byteOffset, message.length))
        : null;
    const block = (fits: (one: NonNullable<ReturnType<typeof head>>) => boolean) =>
      sound.until((message) => {
        const one = head(message);
        return one !== null && fits(one) ? one : undefined;
      });
    expect(await block(({ first }) => first === 0)).toMatchObject({ play: 3, section: 1, rev });
    sound.say({ type: "heard", play: 3, frames: 4_800, underruns: 0 });
    await block(({ first }) => first >= 9_600);
    const set = { tempo: 97 };
    live.say({
      type: "edit",
      name: NAME,
      opId: "sound-op-1",
      base: rev,
      edit: { kind: "change-section", id: from.section, set },
    });
    const anew = await block((one) => one.rev === (rev as number) + 1);
    expect(anew.first).toBeGreaterThanOrEqual(4_800);
    expect(anew.first).toBeLessThanOrEqual(4_800 + 1_440);
    sound.close();
    live.close();
  });
});

test("at the end every routine stands on disk as it was last", async () => {
  const own = await startServer();
  const live = await own.socket("/live");
  live.say({ type: "open", ask: 1, name: NAME });
  await live.ofType("routine");
  live.say({
    type: "edit",
    name: NAME,
    opId: "end-op-01",
    base: 0,
    edit: { kind: "title", title: "Last words" },
  });
  await live.ofType("ack");
  await own.live.close();
  const file = await readFile(join(own.path, `${NAME}.routine.json`));
  expect(parseRoutine(file).routine?.title).toBe("Last words");
  await own.close();
});
