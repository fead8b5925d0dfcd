/** Makes clips for as long as routines are open, one wish after the other. */
import { parentPort } from "node:worker_threads";
import { accountOf } from "../clips/account.ts";
import type { ClipFile } from "../clips/clipFiles.ts";
import { ClipMaker } from "../clips/clipMaker.ts";
import { NoExactResolution } from "../clips/making.ts";
import { sectionTable } from "../clips/table.ts";
import { zipOfClips } from "../clips/zip.ts";
import { hashOf } from "../store/hash.ts";
import type { Asked, FromClips, Packed, ToClips } from "./clips.ts";
import type { Answered, Asked as Question } from "./lastingThread.ts";

/** Routines whose clips are remembered; the one that waited longest goes. */
const MOST_FOLLOWED = 4;
const makers = new Map<number, ClipMaker>();
const hashes = new WeakMap<ClipFile, string>();

function followed({ key, routine, leftOut, ppq }: Asked) {
  const maker = makers.get(key) ?? new ClipMaker();
  makers.delete(key);
  makers.set(key, maker);
  for (const one of makers.keys()) if (makers.size > MOST_FOLLOWED) makers.delete(one);
  return maker.make(routine, leftOut, ppq);
}

function hashed(file: ClipFile): string {
  const hash = hashes.get(file) ?? hashOf(file.bytes);
  hashes.set(file, hash);
  return hash;
}

function packed(asked: Asked): Packed {
  const { routine, performance, clips } = followed(asked);
  const bytes = new Uint8Array(clips.files.reduce((sum, file) => sum + file.bytes.length, 0));
  let at = 0;
  const files = clips.files.map((file) => {
    const { bytes: own, ...rest } = file;
    bytes.set(own, at);
    at += own.length;
    return { ...rest, hash: hashed(file), length: own.length };
  });
  return { ...clips, files, bytes, table: sectionTable(routine, performance, clips.files) };
}

function made(wish: ToClips): { readonly made: unknown; readonly bytes?: Uint8Array } {
  if (wish.want === "account") return { made: accountOf(wish.bytes, wish.most) };
  if (wish.want === "clips") {
    const clips = packed(wish.asked);
    return { made: clips, bytes: clips.bytes };
  }
  const { routine, performance, clips } = followed(wish.asked);
  const bytes = zipOfClips(routine, performance, clips);
  return { made: bytes, bytes };
}

parentPort?.on("message", ({ number, question }: Question<ToClips>) => {
  const tell = (answer: FromClips, transfer: ArrayBuffer[] = []): void =>
    parentPort?.postMessage({ number, answer } satisfies Answered<FromClips>, transfer);
  try {
    const { made: what, bytes } = made(question);
    tell({ made: what }, bytes === undefined ? [] : [bytes.buffer as ArrayBuffer]);
  } catch (error) {
    if (!(error instanceof NoExactResolution)) console.error(error);
    tell({ failed: error instanceof NoExactResolution ? "no-exact-resolution" : "bug" });
  }
});
