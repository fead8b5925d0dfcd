import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { PassThrough } from "node:stream";
import { afterEach, beforeEach, expect, test } from "vitest";
import { wavBytes } from "../../schemas/wavBytes.ts";
import { patchBetween } from "../../schemas/patch.ts";
import { command } from "../../server/cli/doctor.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { writeRoutine } from "../../server/routine/write.ts";
import { openFolder } from "../../server/store/folder.ts";
import type { EditRecord } from "../../server/store/interfaces.ts";

let path: string;
beforeEach(async () => {
  path = await mkdtemp(join(tmpdir(), "doctor-"));
});
afterEach(() => rm(path, { recursive: true }));

const FILE = "Night Ferry.routine.json";
const JOURNAL = ".Night Ferry.journal";
const titled = (title: string) => ({ ...DEMO, title });
const retitle = (rev: number): EditRecord => ({
  rev,
  opId: `operation-${rev}`,
  at: 1_000,
  ops: {
    how: "edit",
    words: `Title ${rev}`,
    edit: { kind: "title", title: `Title ${rev}` },
    back: patchBetween(titled(`Title ${rev}`), rev === 1 ? DEMO : titled(`Title ${rev - 1}`)),
  },
});

/** A folder with the demo and two edits that its file does not show yet. */
async function edited(): Promise<void> {
  const folder = await openFolder(path);
  await folder.create("Night Ferry", writeRoutine(DEMO));
  const stored = await folder.open("Night Ferry");
  await stored.append(retitle(1));
  await stored.append(retitle(2));
  await folder.close();
}

async function doctor(mend?: string): Promise<{ status: number; said: string }> {
  const stdout = new PassThrough();
  const io = { stdin: new PassThrough(), stdout, stderr: new PassThrough(), cwd: path, env: {} };
  const values = mend === undefined ? {} : { mend };
  const status = await command.run({ positionals: ["."], values }, io);
  return { status, said: String(stdout.read()) };
}
const everything = async (): Promise<Record<string, string>> => {
  const names = (await readdir(path)).sort();
  return Object.fromEntries(
    await Promise.all(names.map(async (name) => [name, await readFile(join(path, name), "latin1")] as const)),
  );
};

test("a folder in order is told so, and nothing in it is touched", async () => {
  await edited();
  const before = await everything();
  expect(await doctor()).toEqual({
    status: 0,
    said: '  "Night Ferry" has 2 edits in its journal that its file will show after it was opened.\nNothing is wrong.\n',
  });
  expect(await everything()).toEqual(before);
});

test("a torn journal, a file that is no routine, an unsafe name and a leftover are each said", async () => {
  await edited();
  const bytes = await readFile(join(path, JOURNAL));
  await writeFile(join(path, JOURNAL), bytes.subarray(0, bytes.length - 3));
  await writeFile(join(path, "Broken.routine.json"), "{");
  await writeFile(join(path, "CON.routine.json"), "{}");
  await writeFile(join(path, ".countercut-abc.part"), "");
  const { status, said } = await doctor();
  expect(status).toBe(1);
  const lines = said.split("\n");
  expect(lines[0]).toBe(
    '  ".countercut-abc.part" was left half-written by a crash; the next start removes it.',
  );
  expect(lines[1]).toMatch(/^! "Broken" cannot be read as a routine: /);
  expect(lines[2]).toBe('  "Broken" has no journal: it was not opened yet.');
  expect(lines[3]).toMatch(
    /^! "CON" is left out by the program: "CON" is the name of a device on some systems\./,
  );
  expect(lines[4]).toMatch(
    /^! "Night Ferry" has a journal whose last write was cut off \(\d+ bytes\), never acknowledged\. To mend: --mend "torn:Night Ferry"$/,
  );
  expect(lines.at(-2)).toBe("3 to look at.");
});

test.each([
  ["torn", (bytes: Buffer) => bytes.subarray(0, bytes.length - 3), "Title 1"],
  [
    "damaged",
    (bytes: Buffer) => {
      const copy = Buffer.from(bytes);
      copy[copy.indexOf(10) + 30] = 0;
      return copy;
    },
    "Night Ferry",
  ],
] as const)("a %s journal is mended when asked, with its bytes kept as a copy", async (what, harm, title) => {
  await edited();
  const harmed = harm(await readFile(join(path, JOURNAL)));
  await writeFile(join(path, JOURNAL), harmed);
  const { status } = await doctor(`${what}:Night Ferry`);
  expect(status).toBe(0);
  const aside = (await readdir(path)).filter((name) => name.includes(".aside-"));
  expect(aside).toHaveLength(1);
  expect(await readFile(join(path, aside[0] as string))).toEqual(harmed);
  const folder = await openFolder(path);
  const stored = await folder.open("Night Ferry");
  expect(stored.state.is).not.toBe("read-only");
  expect(stored.notices).toEqual([]);
  const last = stored.after.at(-1)?.ops as { words: string } | undefined;
  expect(last?.words ?? (JSON.parse(stored.start.text) as { title: string }).title).toBe(title);
  await folder.close();
});

test("a routine whose file is gone is written again from its journal, edits included", async () => {
  await edited();
  await rm(join(path, FILE));
  expect((await doctor()).said).toContain(
    '! "Night Ferry" has a journal, and its file Night Ferry.routine.json is gone. To mend: --mend "lost:Night Ferry"',
  );
  const { status } = await doctor("lost:Night Ferry");
  expect(status).toBe(0);
  expect(await readFile(join(path, FILE), "utf8")).toBe(writeRoutine(titled("Title 2")));
});

const wav = (): Buffer => Buffer.from(wavBytes([new Float32Array(64).fill(0.25)], 48_000, 24));

test("sounds, recordings, practice, phrases, mappings and the bin are read, and what is wrong with each is said", async () => {
  await edited();
  const put = async (file: string, content: string | Buffer): Promise<void> => {
    await mkdir(join(path, file, ".."), { recursive: true });
    await writeFile(join(path, file), content);
  };
  const entry = { id: "0123456789abcdef", at: "2026-01-02T03:04:05.000Z" };
  const about = { title: "Cast off", by: "file", hands: "both", speed: 1, allowedMs: 0 };
  const range = { from: { section: "quay", at: 0 }, to: { section: "quay", at: 1 } };
  const note = { ...about, range, ...entry, seconds: 1, peak: 0.5, clipped: 0, result: null };
  const rig = {
    samples: [
      { id: "horn", file: "horn.wav" },
      { id: "gone", file: "gone.wav" },
    ],
  };
  await put("Other.routine.json", writeRoutine({ ...DEMO, rig, sections: DEMO.sections.slice(0, 1) }));
  await put("Other.sounds/horn.wav", wav());
  await put("Other.sounds/cut.wav", wav().subarray(0, -100));
  await put("Other.sounds/text.wav", "no sound");
  await put("Other.sounds/.countercut-1.part", "");
  await put("Other.recordings/one.json", JSON.stringify(note));
  await put("Other.recordings/one.wav", wav());
  await put("Other.recordings/two.json", JSON.stringify(note));
  await put("Other.recordings/three.json", "{}");
  await put("Other.recordings/four.wav", wav());
  await put("Other.practice.jsonl", "{\n");
  await put("Nobody.practice.jsonl", "");
  await put("my-phrases.json", "{}");
  await put("clip-mappings.json", '{"format":"countercut-mappings","version":1,"mappings":[]}');
  await put(".bin/2026-01-02 abcd/Old.routine.json", "{}");
  const { status, said } = await doctor();
  expect(status).toBe(1);
  const lines = said.split("\n");
  for (const expected of [
    /^! "Other" plays "gone.wav", which is not in Other.sounds.$/,
    /^! "Other.sounds\/cut.wav" cannot be heard: it holds less sound than it declares.$/,
    /^! "Other.sounds\/text.wav" cannot be heard: This is no WAV file/,
    /^ {2}"Other.sounds\/.countercut-1.part" was left half-written/,
    /^ {2}"Other.sounds" has 1 sounds that can be heard.$/,
    /^! "Other.recordings\/two.json" has lost its sound.$/,
    /^! "Other.recordings\/three.json" cannot be read: /,
    /^! "Other.recordings\/four.wav" has lost the note/,
    /^ {2}"Other.recordings" has 1 whole recordings.$/,
    /^! "Other.practice.jsonl" has 1 of 1 lines that cannot be read \(line 1: it is no JSON.\).$/,
    /^ {2}"Nobody.practice.jsonl" belongs to no routine that is here/,
    /^! "my-phrases.json" cannot be read: /,
    /^ {2}"clip-mappings.json" is whole.$/,
    /^ {2}".bin\/2026-01-02 abcd" holds the routine "Old".$/,
  ])
    expect(
      lines.filter((one) => expected.test(one)),
      `${expected} in\n${said}`,
    ).toHaveLength(1);
  expect(said.split("\n").filter((one) => one.startsWith("!"))).toHaveLength(8);
});

test("nothing is mended that is not wrong, nor under a wrong word, nor while a server has the folder", async () => {
  await edited();
  const before = await everything();
  await expect(doctor("torn:Night Ferry")).rejects.toThrow('The journal of "Night Ferry" is whole.');
  await expect(doctor("all:Night Ferry")).rejects.toThrow(
    "--mend takes torn:NAME, damaged:NAME, lost:NAME, past:NAME",
  );
  await expect(doctor("torn:../x")).rejects.toThrow("A name cannot");
  await expect(doctor("lost:Night Ferry")).rejects.toThrow('The file of "Night Ferry" is there.');
  const folder = await openFolder(path);
  await expect(doctor("torn:Night Ferry")).rejects.toThrow("holds the folder");
  await folder.close();
  expect(await everything()).toEqual(before);
});

test("a part of the past that cannot be read is set aside when asked", async () => {
  const folder = await openFolder(path, { journalSize: -1e9 });
  await folder.create("Night Ferry", writeRoutine(DEMO));
  const stored = await folder.open("Night Ferry");
  await stored.append(retitle(1));
  await stored.snapshot({ text: writeRoutine(titled("Title 1")), rev: 1 });
  await folder.close();
  const past = join(path, ".Night Ferry.past");
  const [part] = await readdir(past);
  await writeFile(join(past, part as string), "no longer");
  expect((await doctor()).said).toContain(
    `has a part of its past that cannot be read: .Night Ferry.past/${part}.`,
  );
  expect((await doctor("past:Night Ferry")).status).toBe(0);
  expect(await readdir(past)).toEqual([`${part}.aside`]);
});
