/** Reads MIDI files with readers that are not ours: `midicsv`, and `mido` under Python. */
import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

export interface ReadEvent {
  readonly tick: number;
  readonly kind: string;
  readonly values: readonly (number | string)[];
}

/** What mido says of each file: a list of tracks, each a list of events at absolute ticks. */
export interface ReadFile {
  readonly format: number;
  readonly ppq: number;
  readonly tracks: readonly (readonly ReadEvent[])[];
}

const SCRIPT = `
import json, sys, mido
out = []
for name in sys.argv[2:]:
    m = mido.MidiFile(name, charset=sys.argv[1])
    tracks = []
    for t in m.tracks:
        at, events = 0, []
        for e in t:
            at += e.time
            values = {k: v for k, v in e.dict().items() if k not in ('type', 'time')}
            first = [values.pop(k) for k in ('channel', 'note', 'control') if k in values]
            events.append({'tick': at, 'kind': e.type, 'values': first + list(values.values())})
        tracks.append(events)
    out.append({'format': m.type, 'ppq': m.ticks_per_beat, 'tracks': tracks})
print(json.dumps(out))
`;

function inFolder<Result>(files: readonly Uint8Array[], read: (paths: string[]) => Result): Result {
  const folder = mkdtempSync(join(tmpdir(), "countercut-midi-"));
  try {
    const paths = files.map((bytes, index) => {
      const path = join(folder, `${String(index).padStart(4, "0")}.mid`);
      writeFileSync(path, bytes);
      return path;
    });
    return read(paths);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** @param charset of the texts in the files; ours are UTF-8 */
export const readWithMido = (files: readonly Uint8Array[], charset = "utf-8"): ReadFile[] =>
  inFolder(files, (paths) =>
    JSON.parse(
      execFileSync("/usr/bin/python3", ["-c", SCRIPT, charset, ...paths], { maxBuffer: 1 << 28 }).toString(),
    ),
  );

/** Lines of midicsv: track, tick, kind, values. */
export const readWithMidicsv = (files: readonly Uint8Array[]): string[][][] =>
  inFolder(files, (paths) =>
    paths.map((path) =>
      execFileSync("/usr/bin/midicsv", [path], { maxBuffer: 1 << 28 })
        .toString()
        .trim()
        .split("\n")
        .map((line) => line.split(", ")),
    ),
  );
