import { mkdtemp, readdir, rm, stat } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { patchBetween } from "../../schemas/patch.ts";
import type { Routine } from "../../schemas/routine.ts";
import { DEMO } from "../../server/routine/demo.ts";
import { applyEdit } from "../../server/routine/edit.ts";
import { writeRoutine } from "../../server/routine/write.ts";
import { disk } from "../../server/store/disk.ts";
import { openFolder } from "../../server/store/folder.ts";
import { seeded } from "../../server/sound/random.ts";

/** A musician's day: two hours with an edit every four seconds. */
const EDITS_A_DAY = 1_800;

test("a year of daily work stays under 50 MB a routine", async () => {
  const path = await mkdtemp(join(tmpdir(), "size-"));
  // Flushing is not what is measured.
  const nothing = async (): Promise<void> => undefined;
  const fs = {
    ...disk,
    async append(file: string) {
      const handle = await disk.append(file);
      return {
        write: (bytes: Uint8Array) => handle.write(bytes),
        datasync: nothing,
        sync: nothing,
        size: () => handle.size(),
        close: () => handle.close(),
      };
    },
  };
  const folder = await openFolder(path, { fs });
  await folder.create("Night Ferry", writeRoutine(DEMO));
  const stored = await folder.open("Night Ferry");
  const random = seeded(7);
  let routine: Routine = DEMO;
  for (let rev = 1; rev <= EDITS_A_DAY; rev++) {
    const section = routine.sections[
      Math.floor(random() * routine.sections.length)
    ] as Routine["sections"][number];
    const pattern = routine.patterns[
      Math.floor(random() * routine.patterns.length)
    ] as Routine["patterns"][number];
    const edit =
      random() < 0.5
        ? {
            kind: "change-section" as const,
            id: section.id,
            set: { pitch: Math.round(random() * 80 - 40) / 10 },
          }
        : {
            kind: "change-pattern" as const,
            id: pattern.id,
            set: {
              record: {
                ...pattern.record,
                strokes: pattern.record.strokes.map((stroke) =>
                  stroke.move === "hold" ? stroke : { ...stroke, travel: 30 + Math.round(random() * 120) },
                ),
              },
            },
          };
    const applied = applyEdit(routine, edit as Parameters<typeof applyEdit>[1]);
    if ("refused" in applied) throw new Error(applied.refused);
    const back = patchBetween(applied.routine, routine);
    routine = applied.routine;
    const opId = Array.from(
      { length: 22 },
      () => "abcdefghijklmnopqrstuvwxyz0123456789"[Math.floor(random() * 36)],
    ).join("");
    await stored.append({
      rev,
      opId,
      at: 1_764_000_000_000 + rev * 4_000 + Math.floor(random() * 2_000),
      ops: { how: "edit", words: `Changed ${section.name}`, edit, back },
    });
    if (rev % 100 === 0) await stored.snapshot({ text: writeRoutine(routine), rev });
  }
  const past = join(path, ".Night Ferry.past");
  const files = await readdir(past);
  const kept = files.reduce((sum, file) => Math.max(sum, Number(file.slice(13, 25))), 0);
  const sizes = await Promise.all(files.map(async (file) => (await stat(join(past, file))).size));
  const bytes = sizes.reduce((a, b) => a + b, 0);
  const year = ((bytes / kept) * EDITS_A_DAY * 365) / 1e6;
  console.log(
    `${kept} edits in ${files.length} parts of the past: ${(bytes / kept).toFixed(1)} bytes an edit, ${year.toFixed(1)} MB a year`,
  );
  expect(kept).toBeGreaterThan(500);
  expect(year).toBeLessThan(50);
  await folder.close();
  await rm(path, { recursive: true });
});
