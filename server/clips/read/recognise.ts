/** Whether a MIDI file is a clip that this program wrote for a routine: by its file name, or by its tracks' names. */
import type { Routine, Section } from "../../../schemas/routine.ts";
import { called } from "../../routine/called.ts";
import { sectionWord, slug } from "../names.ts";
import { STRANDS, type Strand } from "../strand.ts";
import type { MidiContent } from "./file.ts";

export interface Recognised {
  /** Id of a section; null: the whole routine. */
  readonly section: string | null;
  readonly strand: Strand | null;
}

/** As `clipName` makes them: the section's number and what the file calls it, then strand, player and length. */
const CLIP = /^(\d+)_([a-z0-9-]+)_([a-z]+)(?:-p\d)?_\d+bars_/;
const TRACK = /^(.*): ([a-z]+)(?:-p\d)?$/;
const isStrand = (word: string | undefined): word is Strand =>
  (STRANDS as readonly (string | undefined)[]).includes(word);

export function recognise(routine: Routine, file: string, content: MidiContent): Recognised | null {
  const { sections, title } = routine;
  /** Of several that are called alike the one with the file's number, or else the first. */
  const ofFile = (is: (section: Section) => boolean, number: string | undefined): Section | undefined => {
    const alike = sections.filter(is);
    return alike.find((section) => section === sections[Number(number) - 1]) ?? alike[0];
  };
  const [, number, word, strand] = CLIP.exec(file) ?? [];
  const section = ofFile((one) => slug(sectionWord(one)) === word, number);
  if (section !== undefined && isStrand(strand)) return { section: section.id, strand };
  for (const { name } of content.tracks) {
    const [, title, ofTrack] = TRACK.exec(name) ?? [];
    const named = ofFile((one) => called(one) === title, number);
    if (named !== undefined && isStrand(ofTrack)) return { section: named.id, strand: ofTrack };
  }
  const whole = file.startsWith(`whole_${slug(title)}`) || content.tracks[0]?.name === title;
  return whole ? { section: null, strand: null } : null;
}
