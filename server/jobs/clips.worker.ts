/** Makes clips for as long as routines are open, one wish after the other. */
import { parentPort } from "node:worker_threads";
import { giveWay, standAside } from "./giveWayWorkers.ts";
import { accountOf } from "../clips/account.ts";
import type { ClipFile } from "../clips/clipFiles.ts";
import { ClipMaker } from "../clips/clipMaker.ts";
import { NoExactResolution } from "../clips/making.ts";
import { sectionTable } from "../clips/table.ts";
import { zipOfClips } from "../clips/zip.ts";
import { hashOf } from "../store/hash.ts";
import type { Asked, FromClips, Packed, ToClips } from "./clips.ts";
import type { Answered, Asked as Question, Told } from "./lastingWorkers.ts";

giveWay();

/** Routines whose clips are remembered; the one that waited longest goes. */
const MOST_FOLLOWED = 4;
const makers = new Map<number, ClipMaker>();
const hashes = new WeakMap<ClipFile, string>();

/** Milliseconds between two times that it is told how much is done. */
const TELL_EVERY = 100;

/** It is not wanted any more. */
class Ended extends Error {}

function followed({ key, routine, leftOut, ppq }: Asked, tell?: (done: number) => void) {
  const maker = makers.get(key) ?? new ClipMaker();
  makers.delete(key);
  makers.set(key, maker);
  for (const one of makers.keys()) if (makers.size > MOST_FOLLOWED) makers.delete(one);
  return maker.make(routine, leftOut, ppq, tell);
}

function hashed(file: ClipFile): string {
  const hash = hashes.get(file) ?? hashOf(file.bytes);
  hashes.set(file, hash);
  return hash;
}

/** @param ended becomes 1 where it is not wanted any more. @throws Ended */
function nowAndThen(ended: Int32Array, tell: (done: number) => void): (done: number) => void {
  let told = Date.now();
  return (done) => {
    standAside();
    if (Atomics.load(ended, 0) === 1) throw new Ended();
    if (Date.now() - told < TELL_EVERY) return;
    told = Date.now();
    tell(done);
  };
}

function packed(asked: Asked, tell: (done: number) => void): Packed {
  tell(0);
  const { routine, performance, clips } = followed(asked, tell);
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

function made(
  wish: ToClips,
  tell: (done: number) => void,
): { readonly made: unknown; readonly bytes?: Uint8Array } {
  if (wish.want === "account") return { made: accountOf(wish.bytes, wish.most) };
  if (wish.want === "clips") {
    const clips = packed(wish.asked, nowAndThen(wish.ended, tell));
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
    const { made: what, bytes } = made(question, (done) =>
      parentPort?.postMessage({ number, done } satisfies Told),
    );
    tell({ made: what }, bytes === undefined ? [] : [bytes.buffer as ArrayBuffer]);
  } catch (error) {
    const known =
      error instanceof NoExactResolution ? "no-exact-resolution" : error instanceof Ended ? "ended" : null;
    if (known === null) console.error(error);
    tell({ failed: known ?? "bug" });
  }
});
