/** The user's own phrases: listed, kept, removed. */
import { MyPhrase } from "../../schemas/phrases.ts";
import { beatProblems } from "../routine/checkBeat.ts";
import { patternProblems } from "../routine/checkPattern.ts";
import type { Phrases } from "../store/phrases.ts";
import { type Answered, WebError } from "./answered.ts";
import { readJson } from "./body.ts";
import { admittedOf } from "./gate.ts";

/** Bytes of one phrase or beat. */
const LARGEST = 4 * 1024 * 1024;
const DEPTH = 12;

export function phrasesRoutes(phrases: Phrases): Answered[] {
  return [
    {
      route: { method: "GET", path: "/my-phrases", kind: "api" },
      async answer(_request, response) {
        response.json({ phrases: await phrases.list() });
      },
    },
    {
      route: {
        method: "PUT",
        path: "/my-phrases/:id",
        kind: "api",
        body: { type: "application/json", largest: LARGEST },
      },
      async answer(request, response) {
        const { params } = admittedOf(request);
        const body = MyPhrase.safeParse(await readJson(request, DEPTH));
        if (!body.success || body.data.id !== params.id)
          throw new WebError(422, "shape", "A phrase or a beat with this id is expected.");
        const phrase = body.data;
        const [fault] = "pattern" in phrase ? patternProblems(phrase.pattern) : beatProblems(phrase.beat);
        if (fault !== undefined) throw new WebError(422, fault.code, fault.message);
        response.json({ phrases: await phrases.keep(phrase) });
      },
    },
    {
      route: { method: "DELETE", path: "/my-phrases/:id", kind: "api" },
      async answer(request, response) {
        response.json({ phrases: await phrases.remove(admittedOf(request).params.id ?? "") });
      },
    },
  ];
}
