/** A MIDI file is brought, read in a thread of its own, and told as what it holds. Nothing of it is kept. */
import { z } from "zod";
import { encodingOf, MAPPING_DEFAULTS } from "../../schemas/mapping.ts";
import type { Performance } from "../../schemas/performance.ts";
import type { Routine } from "../../schemas/routine.ts";
import { Step } from "../../schemas/routine.ts";
import { mappingOf } from "../clips/making.ts";
import { slug } from "../clips/names.ts";
import { beatOf } from "../clips/read/beat.ts";
import type { MidiContent } from "../clips/read/file.ts";
import { LARGEST_MIDI } from "../clips/read/guard.ts";
import { beatOffers, patternOffers, tempoOffers } from "../clips/read/offers.ts";
import { patternOf } from "../clips/read/pattern.ts";
import { recognise } from "../clips/read/recognise.ts";
import { tellsPosition } from "../clips/read/record.ts";
import { tempoMapOf } from "../clips/read/tempoMap.ts";
import type { Jobs } from "../jobs/jobs.ts";
import type { Live } from "../live/live.ts";
import { called } from "../routine/called.ts";
import { type Answered, WebError } from "./answered.ts";
import { readBody, wantedBy } from "./body.ts";
import { admittedOf } from "./gate.ts";

const body = { type: "audio/midi", largest: LARGEST_MIDI };
const Key = z.coerce.number().int().min(0).max(127);
const numbers = z.string().regex(/^(\d{1,4}(,\d{1,4})*)?$/);

/** How the file is to be understood; what is left out is chosen by what the file is. */
const Wish = z.strictObject({
  file: z.string().max(300).default(""),
  as: z.enum(["beat", "pattern", "tempo"]).optional(),
  step: Step.optional(),
  tracks: numbers.optional(),
  keys: numbers.optional(),
  forward: Key.optional(),
  back: Key.optional(),
  /** "controller 11", "key 60" or "none". */
  fader: z
    .string()
    .regex(/^(controller|key) \d{1,3}$|^none$/)
    .optional(),
  /** "controller 16", its position; or "keys". */
  record: z
    .string()
    .regex(/^controller \d{1,2}$|^keys$/)
    .optional(),
});
type Wish = z.infer<typeof Wish>;

const listOf = (text: string | undefined): number[] | undefined =>
  text?.split(",").filter(Boolean).map(Number);

export function midiRoutes(jobs: Jobs, live: Live): Answered[] {
  return [
    {
      route: { method: "POST", path: "/midi", kind: "api", body },
      async answer(request, response) {
        const read = await jobs.readMidi(await readBody(request), wantedBy(response));
        if ("problem" in read) throw new WebError(422, "no-midi", read.problem);
        response.json(read);
      },
    },
    {
      route: { method: "POST", path: "/routines/:name/midi", kind: "api", body },
      async answer(request, response) {
        const { params, query } = admittedOf(request);
        const wish = Wish.safeParse(Object.fromEntries(query));
        if (!wish.success) throw new WebError(422, "shape", "This is no way to read a MIDI file.");
        const { sound, performance } = (await live.open(params.name ?? "")).present.worked;
        const read = await jobs.readMidi(await readBody(request), wantedBy(response));
        if ("problem" in read) throw new WebError(422, "no-midi", read.problem);
        response.json(understood(sound, performance, read, wish.data));
      },
    },
  ];
}

/** What the file holds, what it would be, and what can be done with that. */
function understood(routine: Routine, performance: Performance, content: MidiContent, wish: Wish) {
  const recognised = recognise(routine, wish.file, content);
  const as = wish.as ?? usual(content, recognised?.strand ?? null, recognised !== null);
  const section = recognised?.section ?? null;
  const owner = routine.sections.find(({ id }) => id === section);
  const tracks = listOf(wish.tracks);
  const common = tracks === undefined ? {} : { tracks };
  const name = (wish.file.replace(/\.midi?$/i, "") || "From a file").slice(0, 200);
  const id = slug(name).slice(0, 60);
  const told = {
    tracks: content.tracks.map(summary),
    recognised:
      recognised === null
        ? null
        : { ...recognised, name: owner === undefined ? routine.title : called(owner) },
    as,
  };
  switch (as) {
    case "beat": {
      const own = routine.beats.find((beat) => beat.id === owner?.beat);
      const step = wish.step ?? own?.step ?? "1/16";
      const keys = listOf(wish.keys);
      const read = beatOf(content, { id, name, step, ...common, ...(keys === undefined ? {} : { keys }) });
      if ("problem" in read) return { ...told, step, problem: read.problem };
      return { ...told, step, ...read, ...beatOffers(routine, performance, section, read.beat) };
    }
    case "pattern": {
      const { sounds, fader, record } = encodingOf(mappingOf(routine));
      const forward = wish.forward ?? sounds.forward;
      const back = wish.back ?? sounds.back;
      const step = wish.step ?? "1/16";
      const by =
        wish.fader ??
        faderOf(content, fader.controller === "none" ? MAPPING_DEFAULTS.fader.controller : fader.controller);
      const [kind, number] = by.split(" ");
      const choice =
        kind === "none"
          ? {}
          : { fader: kind === "key" ? { key: Number(number) } : { controller: Number(number) } };
      const own = record.position === "none" ? MAPPING_DEFAULTS.record.position : record.position;
      const hand = wish.record ?? (tellsPosition(content.tracks, own) ? `controller ${own}` : "keys");
      const position =
        hand === "keys"
          ? {}
          : { position: { controller: Number(hand.split(" ")[1]), round: roundOf(routine) } };
      const read = patternOf(content, { id, name, step, forward, back, ...choice, ...position, ...common });
      const said = { ...told, step, forward, back, fader: by, record: hand };
      if ("problem" in read) return { ...said, problem: read.problem };
      return { ...said, ...read, offers: patternOffers(routine, section, read.pattern), same: false };
    }
    case "tempo": {
      const read = tempoMapOf(content);
      if ("problem" in read) return { ...told, problem: read.problem };
      return { ...told, ...read, ...tempoOffers(routine, section, read.stretches) };
    }
  }
}

/** Degrees that the position goes round: the repeat of the first sample, or a turn of the platter. */
const roundOf = ({ rig }: Routine): number => rig?.samples?.[0]?.repeatsEvery || 360;

/** What a file most likely is meant as. */
function usual(content: MidiContent, strand: string | null, known: boolean): "beat" | "pattern" | "tempo" {
  if (known) return strand === null ? "tempo" : strand === "beat" ? "beat" : "pattern";
  const notes = content.tracks.flatMap((track) => track.notes);
  return notes.length === 0 ? "tempo" : "beat";
}

/** The controller that the fader is, where the file has it; else it is open throughout. */
const faderOf = (content: MidiContent, controller: number): string =>
  content.tracks.some((track) => track.controllers.some(({ number }) => number === controller))
    ? `controller ${controller}`
    : "none";

const MOST_TOLD = 128;
function summary({ name, notes, controllers, end }: MidiContent["tracks"][number]) {
  const counted = (list: readonly number[]): { number: number; count: number }[] => {
    const counts = new Map<number, number>();
    for (const one of list) counts.set(one, (counts.get(one) ?? 0) + 1);
    return [...counts].map(([number, count]) => ({ number, count })).sort((a, b) => a.number - b.number);
  };
  return {
    name,
    end,
    notes: notes.length,
    keys: counted(notes.map(({ key }) => key)).slice(0, MOST_TOLD),
    controllers: counted(controllers.map(({ number }) => number)).slice(0, MOST_TOLD),
  };
}
