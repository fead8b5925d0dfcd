/** File names: plain ASCII, sorted in playing order; they say section, strand, bars, tempo and metre. */
import type { Routine, Section } from "../../schemas/routine.ts";

/** Lower-case ASCII words joined by hyphens. */
export function slug(text: string): string {
  const plain = text
    .normalize("NFKD")
    .replace(/[^\x20-\x7e]/g, "")
    .toLowerCase();
  return (
    plain
      .replace(/[^a-z0-9]+/g, "-")
      .replace(/^-+|-+$/g, "")
      .slice(0, 80) || "routine"
  );
}

/** What a file calls a section: its name, or its id where the name has no plain letter or digit. */
export const sectionWord = ({ id, name = "" }: Section): string =>
  /[a-z0-9]/i.test(name.normalize("NFKD")) ? name : id;

const tempoWord = (tempo: Section["tempo"]): string => {
  const one = (value: number): string => value.toFixed(1).padStart(5, "0");
  return typeof tempo === "number" || tempo.from === tempo.to
    ? `${one(typeof tempo === "number" ? tempo : tempo.from)}bpm`
    : `${one(tempo.from)}-${one(tempo.to)}bpm`;
};

export interface ClipName {
  /** 0 for the lead-in, else from 1. */
  readonly number: number;
  readonly section: string;
  /** "fader", or "fader-p2" where there are several players; of a WAV file the part that it holds. */
  readonly strand: string;
  readonly bars: number;
  readonly tempo: Section["tempo"];
  readonly meter: string;
}

/** Without its ending. @param sections how many the routine has, so that numbers are equally wide */
export function clipName(
  { number, section, strand, bars, tempo, meter }: ClipName,
  sections: number,
): string {
  const width = Math.max(2, String(sections).length);
  return [
    String(number).padStart(width, "0"),
    slug(section),
    strand,
    `${String(bars).padStart(2, "0")}bars`,
    tempoWord(tempo),
    meter.replace("/", "-"),
  ].join("_");
}

/** A WAV file's name, in the form of the clips' names, without its ending. @param id of a section; null: the whole */
export function wavName(routine: Routine, id: string | null, part: string): string {
  const index = routine.sections.findIndex((section) => section.id === id);
  const section = routine.sections[index];
  if (section === undefined) return `whole_${slug(routine.title)}_${part}`;
  const { bars, tempo, meter } = section;
  const name = { number: index + 1, section: sectionWord(section), strand: part, bars, tempo, meter };
  return clipName(name, routine.sections.length);
}
