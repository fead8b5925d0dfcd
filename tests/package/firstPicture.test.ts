/** What a browser has to fetch and run before there is something to see, in the page as it is built. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";

const BUILT = join(import.meta.dirname, "../../dist/client");
const read = (file: string): string => readFileSync(join(BUILT, file), "utf8");
const html = read("index.html");
const files = [...html.matchAll(/(?:src|href)="\/(assets\/[^"]+\.js)"/g)].map(([, file]) => file ?? "");
/** What a file of code waits for. */
const importsOf = (code: string): string[] =>
  [...code.matchAll(/(?:^|[;}\n])import[^"'()]*["']\.\/([^"']+)["']/g)].map(([, file]) => `assets/${file}`);

test("is two files of code, and neither waits for a third", () => {
  expect(files.map((file) => /assets\/(\w+)-/.exec(file)?.[1])).toEqual(["start", "main"]);
  const [start, main] = files.map((file) => importsOf(read(file)));
  expect(start).toEqual([]);
  expect(main).toEqual([files[0]]);
});

test("asks for the routine with a few thousand bytes, before anything is painted", () => {
  expect(html).toMatch(/<script async blocking="render" type="module"/);
  expect(read(files[0] ?? "").length).toBeLessThan(6_000);
});

test("makes the schemas of what it reads, and not of what only the server reads", () => {
  const code = read(files[1] ?? "");
  expect(code).toContain("find-progress");
  expect(code).not.toContain("move-beat");
});
