/** My phrases and packed routines, as they are served. */
import { existsSync } from "node:fs";
import { mkdir, readdir, readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { strToU8, unzipSync, zipSync } from "fflate";
import { afterAll, beforeAll, describe, expect, it, vi } from "vitest";
import { wavBytes } from "../../schemas/wavBytes.ts";
import type { MyPhrase } from "../../schemas/phrases.ts";
import { unzip, ZipError } from "../../server/clips/unzip.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { writeRoutine } from "../../server/routine/write.ts";
import { disk } from "../../server/store/disk.ts";
import { NAME, startServer } from "./rig.ts";

let server: Awaited<ReturnType<typeof startServer>>;
beforeAll(async () => {
  server = await startServer(
    writeRoutine({
      ...DEMO,
      rig: { ...DEMO.rig, samples: [{ id: "bell", file: "Bell buoy.wav" }, ...(DEMO.rig?.samples ?? [])] },
    }),
  );
});
afterAll(() => server.close());

const at = (path: string, init: RequestInit = {}): Promise<Response> =>
  fetch(`${server.address}${path}`, {
    ...init,
    headers: { origin: server.address, authorization: `Bearer ${server.bearer}`, ...init.headers },
  });
const json = { "content-type": "application/json" };
const [WAKE] = DEMO.patterns.filter(({ id }) => id === "wake");
const mine = (id: string, name: string): MyPhrase =>
  ({ id, name, labels: ["calm"], pattern: WAKE }) as MyPhrase;
const put = (phrase: unknown, id: string): Promise<Response> =>
  at(`/my-phrases/${id}`, { method: "PUT", headers: json, body: JSON.stringify(phrase) });

const wav = (frames: number): Uint8Array<ArrayBuffer> =>
  wavBytes([Float32Array.from({ length: frames }, (_, index) => (index % 90) / 200)], 48_000, 16);

describe("my phrases", () => {
  it("are kept in one readable file, two at once too, and removed", async () => {
    expect(await (await at("/my-phrases")).json()).toEqual({ phrases: [] });
    const both = await Promise.all([put(mine("one", "One"), "one"), put(mine("two", "Two"), "two")]);
    expect(both.map(({ status }) => status)).toEqual([200, 200]);
    const text = await readFile(join(server.path, "my-phrases.json"), "utf8");
    expect(JSON.parse(text)).toMatchObject({ format: "countercut-phrases", version: 1 });
    expect(
      JSON.parse(text)
        .phrases.map(({ id }: MyPhrase) => id)
        .sort(),
    ).toEqual(["one", "two"]);
    expect(text).toContain('\n  "phrases": [\n');
    const left = await (await at("/my-phrases/one", { method: "DELETE" })).json();
    expect(left.phrases.map(({ id }: MyPhrase) => id)).toEqual(["two"]);
  });

  it("are refused where they are none, and a file that cannot be read is left as it is", async () => {
    expect((await put({ id: "x", name: "X" }, "x")).status).toBe(422);
    const finer = { ...WAKE, record: { step: "1/17", strokes: [{ move: "forward" }] } };
    const answer = await put({ id: "x", name: "X", pattern: finer }, "x");
    expect([answer.status, (await answer.json()).error.code]).toEqual([422, "finer-than-clock"]);
    const path = join(server.path, "my-phrases.json");
    const before = await readFile(path, "utf8");
    await writeFile(path, "{ broken");
    expect((await put(mine("three", "Three"), "three")).status).toBe(409);
    expect(await readFile(path, "utf8")).toBe("{ broken");
    await writeFile(path, before);
  });
});

describe("a packed routine", () => {
  it("holds the routine and the sounds that it plays, and is brought back under a free name", async () => {
    const sound = wav(4_800);
    const headers = { "content-type": "audio/wav" };
    for (const file of ["Bell buoy.wav", "Unused.wav"])
      await server.fetch(`/sounds/${encodeURIComponent(file)}`, { method: "PUT", headers, body: sound });
    const packed = new Uint8Array(await (await server.fetch("/packed.zip")).arrayBuffer());
    const files = unzipSync(packed);
    expect(Object.keys(files)).toEqual([`${NAME}.routine.json`, "sounds/Bell buoy.wav"]);
    expect(files["sounds/Bell buoy.wav"]).toEqual(sound);

    const answer = await at("/packed", {
      method: "POST",
      headers: { "content-type": "application/zip" },
      body: packed,
    });
    expect([answer.status, await answer.json()]).toEqual([201, { name: `${NAME} (brought)`, notes: [] }]);
    const text = await readFile(join(server.path, `${NAME} (brought).routine.json`), "utf8");
    expect(text).toBe(await readFile(join(server.path, `${NAME}.routine.json`), "utf8"));
    const copy = await readFile(join(server.path, `${NAME} (brought).sounds`, "Bell buoy.wav"));
    expect(new Uint8Array(copy)).toEqual(sound);
  });

  it("leaves out what is no sound or has a name that leads elsewhere, and says so", async () => {
    const packed = zipSync({
      "Harbour.routine.json": strToU8(writeRoutine(DEMO)),
      "sounds/Noise.wav": strToU8("no sound at all"),
      "sounds/../../Elsewhere.wav": wav(100),
      "notes.txt": strToU8("passed over"),
    });
    const answer = await at("/packed", {
      method: "POST",
      headers: { "content-type": "application/zip" },
      body: new Uint8Array(packed),
    });
    const { name, notes } = await answer.json();
    expect([answer.status, name, notes.length]).toEqual([201, "Harbour", 2]);
    expect(existsSync(join(server.path, "..", "Elsewhere.wav"))).toBe(false);
    expect(existsSync(join(server.path, "Harbour.sounds", "Noise.wav"))).toBe(false);
  });

  it.each([
    ["a sound that the disk does not take", "write"],
    ["a routine that the disk does not take", "create"],
  ])("leaves nothing behind %s", async (_, fails) => {
    const before = (await readdir(server.path)).sort();
    const packed = zipSync({
      "Harbour at dusk.routine.json": strToU8(writeRoutine(DEMO)),
      "sounds/First.wav": wav(100),
      "sounds/Second.wav": wav(100),
    });
    const full = Object.assign(new Error("no space left"), { code: "ENOSPC" });
    const create = disk.create;
    let made = 0;
    const spy =
      fails === "create"
        ? vi.spyOn(server.live.folder, "create").mockRejectedValue(full)
        : vi
            .spyOn(disk, "create")
            // The second sound fails, after the first stands there.
            .mockImplementation((path) => (++made === 2 ? Promise.reject(full) : create(path)));
    const answer = await at("/packed", {
      method: "POST",
      headers: { "content-type": "application/zip" },
      body: new Uint8Array(packed),
    });
    expect(spy).toHaveBeenCalledTimes(fails === "create" ? 1 : 2);
    spy.mockRestore();
    expect(answer.status).toBeGreaterThanOrEqual(500);
    expect((await readdir(server.path)).sort()).toEqual(before);
    // Afterwards it is brought as if nothing had been.
    const again = await at("/packed", {
      method: "POST",
      headers: { "content-type": "application/zip" },
      body: new Uint8Array(packed),
    });
    expect(await again.json()).toEqual({ name: "Harbour at dusk", notes: [] });
    await server.live.bin("Harbour at dusk");
  });

  it("takes no name of which sounds are left over", async () => {
    await mkdir(join(server.path, "Driftwood.sounds"));
    await writeFile(join(server.path, "Driftwood.sounds", "Old.wav"), wav(10));
    const packed = zipSync({
      "Driftwood.routine.json": strToU8(writeRoutine(DEMO)),
      "sounds/New.wav": wav(100),
    });
    const answer = await at("/packed", {
      method: "POST",
      headers: { "content-type": "application/zip" },
      body: new Uint8Array(packed),
    });
    expect(await answer.json()).toEqual({ name: "Driftwood (brought)", notes: [] });
    expect(await readdir(join(server.path, "Driftwood.sounds"))).toEqual(["Old.wav"]);
    expect(await readdir(join(server.path, "Driftwood (brought).sounds"))).toEqual(["New.wav"]);
  });

  it("is refused without one routine in it, and nothing is made", async () => {
    const before = (await readdir(server.path)).sort();
    for (const packed of [zipSync({ "a.txt": strToU8("a") }), strToU8("PK no zip")]) {
      const answer = await at("/packed", {
        method: "POST",
        headers: { "content-type": "application/zip" },
        body: new Uint8Array(packed),
      });
      expect(answer.status).toBe(422);
    }
    expect((await readdir(server.path)).sort()).toEqual(before);
  });
});

describe("reading a zip", () => {
  const bounds = { entries: 3, bytes: 1_000 };
  async function* parts(bytes: Uint8Array, size = 7) {
    for (let from = 0; from < bytes.length; from += size) yield bytes.subarray(from, from + size);
  }
  const fault = async (bytes: Uint8Array): Promise<string> => {
    const error = await unzip(parts(bytes), bounds).catch((thrown: unknown) => thrown);
    expect(error).toBeInstanceOf(ZipError);
    return (error as Error).message;
  };

  it("gives files packed or not, whatever the pieces", async () => {
    const text = strToU8("tide ".repeat(100));
    for (const level of [0, 9] as const) {
      const files = await unzip(
        parts(zipSync({ "a.txt": text, "b/c.txt": strToU8("c") }, { level })),
        bounds,
      );
      expect([...files.keys()]).toEqual(["a.txt", "b/c.txt"]);
      expect(new Uint8Array(files.get("a.txt") as Uint8Array)).toEqual(text);
    }
  });

  it("stops at its bounds, and says what is wrong with one that is cut off or none", async () => {
    expect(await fault(zipSync({ "a.txt": new Uint8Array(5_000_000) }))).toMatch(
      /^Unpacked it has more than/,
    );
    const four = Object.fromEntries(["a", "b", "c", "d"].map((name) => [name, strToU8(name)]));
    expect(await fault(zipSync(four))).toBe("The file holds more than 3 files.");
    const whole = zipSync({ "a.txt": strToU8("tide ".repeat(100)) }, { level: 9 });
    expect(await fault(whole.subarray(0, 45))).toBe("The file is damaged, or ends before its end.");
    expect(await fault(strToU8("no zip"))).toBe("This is no zip file, or nothing is in it.");
  });
});
