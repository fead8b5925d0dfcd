/** What was practised, as a table for other programs. Pure. */
import { practiceKey, type PracticeEntry } from "../../schemas/practice.ts";
import { bestTakes } from "./bestTake.ts";

const cell = (value: string | number | null): string => {
  const text = value === null ? "" : String(value);
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
};

/** RFC 4180: a head, then a line an entry, each ended by CR LF. Tempos in quarter notes a minute. */
export function csvOf(all: readonly PracticeEntry[], nameOf: (entry: PracticeEntry) => string): string {
  const head = [
    "at",
    "kind",
    "what",
    "seconds",
    "good rounds",
    "bad rounds",
    "reached (quarters a minute)",
    "failed at (quarters a minute)",
    "written (quarters a minute)",
    "strokes",
    "clicks",
    "expected",
    "matched",
    "extra",
    "mean error (ms)",
    "spread (ms)",
    "recording",
    "best recording",
  ];
  const best = bestTakes(all);
  const rows = all.map((one) => [
    one.at,
    one.of.kind,
    nameOf(one),
    one.seconds,
    one.good,
    one.bad,
    one.reached,
    one.failedAt,
    one.written,
    one.strokes,
    one.clicks,
    one.score?.expected ?? null,
    one.score?.matched ?? null,
    one.score?.extra ?? null,
    one.score?.meanMs ?? null,
    one.score?.spreadMs ?? null,
    one.recording ?? null,
    best.get(practiceKey(one.of)) === one ? "yes" : null,
  ]);
  return [head, ...rows].map((row) => `${row.map(cell).join(",")}\r\n`).join("");
}
