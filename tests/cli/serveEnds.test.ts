/** The server ends when it is told to, even in the moment in which it has just begun. */
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, it } from "vitest";
import { serveFolder } from "../browser/served.ts";

it("ends right after it said its link, while it opens the routine, which is whole then", async () => {
  const home = await mkdtemp(join(tmpdir(), "countercut-ends-"));
  const served = await serveFolder(join(home, "routines"), home);
  await served.close();
  expect((await served.routine()).title).toBe("Night Ferry");
  await rm(home, { recursive: true, force: true });
}, 15_000);
