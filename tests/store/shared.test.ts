/** What all routines of a folder share, phrases and mappings: a disk that takes no more is told in a sentence. */
import { expect, test } from "vitest";
import { StoreError } from "../../server/store/errors.ts";
import type { FileSystem } from "../../server/store/fs.ts";
import { Mappings } from "../../server/store/mappings.ts";
import { Phrases } from "../../server/store/phrases.ts";

const full = {
  read: async () => null,
  create: async () => {
    throw Object.assign(new Error("no space"), { code: "ENOSPC" });
  },
} as unknown as FileSystem;
const disk = { fs: full, ids: () => "a" };
const pattern = {
  id: "swell",
  record: { step: "1/16", strokes: [{ move: "forward" as const }] },
  fader: { step: "1/16", cells: [{ fader: "open" as const }] },
};

test.each([
  ["a phrase", () => new Phrases(disk, "/root").keep({ id: "swell", name: "Swell", pattern })],
  ["mappings", () => new Mappings(disk, "/root").keep([])],
])("%s that cannot be kept on a full disk is refused, and why", async (_what, keep) => {
  const why = await keep().then(
    () => "kept",
    (error: unknown) => error,
  );
  expect(why).toBeInstanceOf(StoreError);
  expect((why as StoreError).message).toBe("Changes cannot be saved: the disk is full.");
  expect((why as StoreError).status).toBe(507);
});
