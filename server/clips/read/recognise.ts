/** Whether a MIDI file is a clip that this program wrote for a routine: by its file name, or by its tracks' names. */
import type { Routine } from "../../../schemas/routine.ts";
import { slug } from "../names.ts";
import { STRANDS, type Strand } from "../strand.ts";
import type { MidiContent } from "./file.ts";

export interface Recognised {
  /** Id of a section; null: the whole routine. */
  readonly section: string | null;
  readonly strand: Strand | null;
}

const CLIP = /^\d+_([a-z0-9-]+)_([a-z]+)(?:-p\d)?_\d+bars_/;
const TRACK = /^(.*): ([a-z]+)(?:-p\d)?$/;
const isStrand = (word: string | undefined): word is Strand =>
  (STRANDS as readonly (string | undefined)[]).includes(word);

export function recognise(routine: Routine, file: string, content: MidiContent): Recognised | null {
  const { sections, title } = routine;
  const [, id, word] = CLIP.exec(file) ?? [];
  if (sections.some((section) => section.id === id) && isStrand(word))
    return { section: id as string, strand: word };
  for (const { name } of content.tracks) {
    const [, called, strand] = TRACK.exec(name) ?? [];
    const section = sections.find((one) => (one.name ?? one.id) === called);
    if (section !== undefined && isStrand(strand)) return { section: section.id, strand };
  }
  const whole = file.startsWith(`whole_${slug(title)}`) || content.tracks[0]?.name === title;
  return whole ? { section: null, strand: null } : null;
}
