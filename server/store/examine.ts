/** Looks through a folder and says what it finds. Changes nothing. */
import { examineSides, type SideMeaning } from "./examineSides.ts";
import type { FileSystem } from "./fs.ts";
import type { EditRecord, Moment } from "./interfaces.ts";
import { fileOf, isTemporary, nameFault, nameOfJournal, pastOf, SUFFIX } from "./names.ts";
import { orphansOf } from "./orphans.ts";
import { pastFiles, readPast } from "./past.ts";
import { readBoth } from "./recover.ts";

/** What `doctor --mend` can be told, with a routine's name: `torn:Night Ferry`. */
export const MENDS = ["torn", "damaged", "lost", "past"] as const;
export type Mend = (typeof MENDS)[number];

export interface Finding {
  readonly name: string;
  /** Nothing is wrong with a `note`. */
  readonly severity: "note" | "wrong";
  readonly message: string;
  /** What can be done about it, if anything. */
  readonly mend: Mend | null;
}

/** What the texts and edits mean, for which the store itself has no eye. */
export interface Meaning extends SideMeaning {
  /** A sentence about what is wrong with a routine's text, or null. */
  faultOf(text: string): string | null;
  /** The text after edits. @throws Error where they do not fit */
  replay(start: Moment, records: readonly EditRecord[]): string;
}

export type Say = (name: string, severity: Finding["severity"], message: string, mend?: Mend | null) => void;

export async function examine(fs: FileSystem, folder: string, meaning: Meaning): Promise<readonly Finding[]> {
  const findings: Finding[] = [];
  const entries = await fs.list(folder);
  const say: Say = (name, severity, message, mend = null) => {
    findings.push({ name, severity, message, mend });
  };

  for (const { name: file, kind } of [...entries].sort((a, b) => (a.name < b.name ? -1 : 1))) {
    if (isTemporary(file)) say(file, "note", "was left half-written by a crash; the next start removes it.");
    if (/\.journal\.aside-/.test(file)) say(file, "note", "is a journal that was set aside earlier.");
    if (!file.endsWith(SUFFIX)) continue;
    const name = file.slice(0, -SUFFIX.length);
    const fault = nameFault(name);
    if (kind !== "file") say(name, "wrong", "is no plain file, so the program leaves it out.");
    else if (fault !== null) say(name, "wrong", `is left out by the program: ${fault} Rename ${file}.`);
    else await examineRoutine(name);
  }
  for (const name of await orphansOf(fs, folder)) {
    say(name, "wrong", `has a journal, and its file ${fileOf(name)} is gone.`, "lost");
  }
  const journals = entries.flatMap(({ name }) => nameOfJournal(name) ?? []);
  for (const name of journals) await examinePast(name);
  await examineSides(fs, folder, meaning, say);
  return findings;

  async function examineRoutine(name: string): Promise<void> {
    const { file, journal } = await readBoth(fs, folder, name);
    const fault =
      file?.text === null ? "it is no UTF-8 text." : file ? meaning.faultOf(file.text ?? "") : null;
    if (fault !== null) say(name, "wrong", `cannot be read as a routine: ${fault}`);
    if (journal === null) return say(name, "note", "has no journal: it was not opened yet.");
    if (typeof journal.parsed === "string") {
      return say(name, "wrong", `has a journal that cannot be read: ${journal.parsed}.`, "damaged");
    }
    const { base, records, ours, torn } = journal.parsed;
    const last = base.rev + records.length;
    try {
      meaning.replay(base, records);
    } catch (error) {
      say(name, "wrong", `has a journal whose edits do not fit its text: ${(error as Error).message}`);
    }
    if (torn > 0) {
      say(
        name,
        "wrong",
        `has a journal whose last write was cut off (${torn} bytes), never acknowledged.`,
        "torn",
      );
    }
    const rev = ours.get(file?.hash ?? "");
    if (rev === undefined) {
      say(name, "wrong", "was changed outside the program. Open it there, see both, and choose.");
    } else if (rev < last) {
      say(
        name,
        "note",
        `has ${last - rev} edits in its journal that its file will show after it was opened.`,
      );
    } else say(name, "note", `is whole, at edit ${last}.`);
  }

  async function examinePast(name: string): Promise<void> {
    const past = `${folder}/${pastOf(name)}`;
    for (const { file } of await pastFiles(fs, past, Number.POSITIVE_INFINITY)) {
      try {
        await readPast(fs, past, file);
      } catch {
        say(name, "wrong", `has a part of its past that cannot be read: ${pastOf(name)}/${file}.`, "past");
      }
    }
  }
}
