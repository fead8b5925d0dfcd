/**
 * Tells the engine that objects are short-lived.
 *
 * V8 watches what becomes of the objects that a place in the code makes. Where most of them outlive two small
 * collections, it lets that place make them among the old ones, and does not soon look again. What is worked out of a
 * routine stands until the next edit: long while the program is cold, milliseconds once edits come in a stream. So a
 * busy beginning would have it make nearly all of that among the old ones ever after, some 10 KB an edit, and go
 * through all of its memory every few seconds. It holds for all threads, and costs nothing where nobody edits.
 */
import { setFlagsFromString } from "node:v8";

export function takeObjectsForShortLived(): void {
  setFlagsFromString("--no-allocation-site-pretenuring");
}
