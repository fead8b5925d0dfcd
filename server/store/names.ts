/** Which names a routine may have, so that its files are safe on every system and never mistaken for each other. */
import { StoreError } from "./errors.ts";

export const SUFFIX = ".routine.json";
/** So that the name with its suffix fits the 255 bytes that file systems take. */
const LONGEST_NAME = 255 - SUFFIX.length;

/**
 * Names that Windows keeps for devices, also with an extension: Microsoft, "Naming Files, Paths, and Namespaces". That
 * spaces before the extension do not count is from memory.
 */
const DEVICE = /^(?:con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³]|conin\$|conout\$) *(?:\.|$)/i;
// biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
const FORBIDDEN = /[\u0000-\u001f\u007f-\u009f<>:"/\\|?*]/;
/** Format characters and separators of lines: without a width, or turning the direction; two names could look alike. */
const UNSEEN = /[\p{Cf}\p{Zl}\p{Zp}]|[\u{115f}\u{1160}\u{3164}\u{ffa0}]|\u{34f}/u;
const HALF_A_PAIR = /\p{Surrogate}/u;

/** What is wrong with a name, in a sentence, or null. */
export function nameFault(name: string): string | null {
  if (name === "") return "A routine needs a name.";
  if (HALF_A_PAIR.test(name)) return "The name holds half a character.";
  const bytes = new TextEncoder().encode(name).length;
  if (bytes > LONGEST_NAME) return `The name has ${bytes} bytes; at most ${LONGEST_NAME} fit.`;
  if (FORBIDDEN.test(name)) return 'A name cannot hold control characters or any of < > : " / \\ | ? *.';
  if (UNSEEN.test(name)) return "The name holds characters that cannot be seen.";
  if (name.startsWith(".")) return "A name cannot start with a dot.";
  if (/^\s|[\s.]$/u.test(name)) return "A name cannot start with a space, or end with a space or a dot.";
  if (DEVICE.test(name)) return `"${name}" is the name of a device on some systems.`;
  return null;
}

/** @throws StoreError `bad-name` */
export function checkName(name: string): void {
  const fault = nameFault(name);
  if (fault !== null) throw new StoreError("bad-name", `${fault} Choose another name.`);
}

/** Equal for names that some file system takes for one: they differ by case or by Unicode form only. */
export function twinKey(name: string): string {
  // Upper case first joins ß with ss and the two small sigmas, as file systems that fold case do.
  return name.normalize("NFKC").toUpperCase().toLowerCase().normalize("NFKC");
}

export const fileOf = (name: string): string => `${name}${SUFFIX}`;
export const journalOf = (name: string): string => `.${name}.journal`;
/** A folder with the recorded sounds that a routine plays. */
export const soundsOf = (name: string): string => `${name}.sounds`;
/** A folder with what the player recorded of a routine. */
export const recordingsOf = (name: string): string => `${name}.recordings`;
/** What was practised, a line an entry. */
export const practiceOf = (name: string): string => `${name}.practice.jsonl`;
export const pastOf = (name: string): string => `.${name}.past`;

/** The routine's name of a file's name, or null where it is no routine's. */
export function nameOfFile(file: string): string | null {
  if (!file.endsWith(SUFFIX)) return null;
  const name = file.slice(0, -SUFFIX.length);
  return nameFault(name) === null ? name : null;
}

export const nameOfJournal = (file: string): string | null =>
  file.startsWith(".") && file.endsWith(".journal") ? file.slice(1, -".journal".length) : null;

/** Temporary files carry this, so that those left by a crash are known. */
export const temporaryName = (id: string): string => `.countercut-${id}.part`;
export const isTemporary = (file: string): boolean => /^\.countercut-[0-9A-Za-z]+\.part$/.test(file);

/** A name like `name (words)` that no name of `taken` is a twin of; shortened to fit. */
export function freeName(name: string, words: string, taken: Iterable<string>): string {
  const keys = new Set([...taken].map(twinKey));
  for (let number = 1; ; number++) {
    const ending = ` (${words}${number === 1 ? "" : ` ${number}`})`;
    let stem = name;
    while (new TextEncoder().encode(stem + ending).length > LONGEST_NAME)
      stem = [...stem].slice(0, -1).join("");
    const free = `${stem.trimEnd()}${ending}`;
    if (!keys.has(twinKey(free))) return free;
  }
}
