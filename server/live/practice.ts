/** The practice of a routine: lines of its file to entries, and an entry to a line. */
import { PracticeEntry } from "../../schemas/practice.ts";
import type { Folder } from "../store/interfaces.ts";

export interface Practice {
  /** In the order in which they were added. */
  readonly entries: readonly PracticeEntry[];
  /** Lines that could not be read; they stay in the file. */
  readonly unread: number;
}

export async function practiceOf(folder: Folder, name: string): Promise<Practice> {
  const entries = new Map<string, PracticeEntry>();
  let unread = 0;
  for (const line of await folder.practice(name)) {
    const entry = read(line);
    if (entry === null) unread++;
    else if (!entries.has(entry.id)) entries.set(entry.id, entry);
  }
  return { entries: [...entries.values()], unread };
}

/** An entry that is there already is not added again. */
export async function addPractice(folder: Folder, name: string, entry: PracticeEntry): Promise<void> {
  const { entries } = await practiceOf(folder, name);
  if (!entries.some(({ id }) => id === entry.id)) await folder.addPractice(name, JSON.stringify(entry));
}

function read(line: string): PracticeEntry | null {
  try {
    return PracticeEntry.parse(JSON.parse(line));
  } catch {
    return null;
  }
}
