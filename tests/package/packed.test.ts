/** `npm run packed` installs the package on the oldest and the newest Node; this is what needs no registry. */
import { execFileSync } from "node:child_process";
import { mkdtempSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { tryServe } from "./everyCommand.ts";
import { pack, unpackHere } from "./packing.ts";

const folder = mkdtempSync(join(tmpdir(), "countercut-packed-"));
let program: string;
beforeAll(() => {
  program = unpackHere(pack(folder), folder);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

test("the package holds what is built, the README and the licence, and nothing else", () => {
  const unpacked = join(folder, "node_modules/package");
  expect(readdirSync(unpacked).sort()).toEqual(["LICENSE", "README.md", "dist", "package.json"]);
  expect(readdirSync(join(unpacked, "dist")).sort()).toEqual(["client", "schemas", "server"]);
});

test("every file of it loads beside those packages alone that it says it needs", () => {
  const server = join(dirname(program), "..");
  const files = readdirSync(server, { recursive: true, encoding: "utf8" })
    .filter((name) => name.endsWith(".js") && !name.endsWith(".worker.js") && !name.endsWith("main.js"))
    .map((name) => join(server, name));
  expect(files.length).toBeGreaterThan(150);
  const load = `for (const file of ${JSON.stringify(files)}) await import(file); console.log("loaded");`;
  const said = execFileSync(process.execPath, ["--input-type=module", "-e", load], { encoding: "utf8" });
  expect(said).toBe("loaded\n");
});

test("it serves the page with everything that the page loads", async () => {
  expect(await tryServe(folder, { node: process.execPath, program })).toEqual([]);
});
