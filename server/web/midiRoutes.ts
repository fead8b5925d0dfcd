/** A MIDI file is brought, read in a thread of its own, and told as what it holds. Nothing of it is kept. */
import { LARGEST_MIDI } from "../clips/read/guard.ts";
import type { Jobs } from "../jobs/jobs.ts";
import { type Answered, WebError } from "./answered.ts";
import { readBody, wantedBy } from "./body.ts";

export function midiRoutes(jobs: Jobs): Answered[] {
  return [
    {
      route: {
        method: "POST",
        path: "/midi",
        kind: "api",
        body: { type: "audio/midi", largest: LARGEST_MIDI },
      },
      async answer(request, response) {
        const read = await jobs.readMidi(await readBody(request), wantedBy(response));
        if ("problem" in read) throw new WebError(422, "no-midi", read.problem);
        response.json(read);
      },
    },
  ];
}
