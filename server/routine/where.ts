/** A place of the file in musical words: "Ring Road, bar 3", "Swell, stroke 2". */
import { barWords } from "./called.ts";

type Part = string | number;

const record = (value: unknown): Record<string, unknown> =>
  typeof value === "object" && value !== null ? (value as Record<string, unknown>) : {};

const LISTS: Readonly<Record<string, string>> = {
  patterns: "phrase",
  beats: "beat",
  sections: "section",
  samples: "sample",
  cues: "cue",
  strokes: "stroke",
  cells: "cell",
  hits: "hit",
  at: "place",
  beatRests: "rest",
  mappings: "mapping",
};

function named(list: string, item: Record<string, unknown>, index: number): string {
  if (list === "placements") {
    const bar = typeof item.bar === "number" ? item.bar : undefined;
    if (bar === undefined) return `placement ${index + 1}`;
    return barWords(bar);
  }
  const kind = LISTS[list] ?? list;
  const name = item.name ?? item.id;
  return typeof name === "string" && name !== "" ? name : `${kind} ${index + 1}`;
}

/** @param path keys and indices from the root of `raw`, the file as JSON */
export function whereOf(raw: unknown, path: readonly PropertyKey[]): string {
  const words: string[] = [];
  let here: unknown = raw;
  let list = "";
  for (const part of path as readonly Part[]) {
    const next = record(here)[part];
    if (typeof part === "number") words.push(named(list, record(next), part));
    else if (LISTS[part] === undefined && part !== "placements" && part !== "record" && part !== "fader") {
      words.push(part);
    } else if (part === "at" && !Array.isArray(next)) words.push(part);
    list = String(part);
    here = next;
  }
  const text = words.join(", ");
  return text === "" ? "The file" : text;
}
