/** Who may import whom. See "The house" in DEVELOPERS.md. */
import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, relative, resolve } from "node:path";
import { expect, test } from "vitest";

const ROOT = resolve(import.meta.dirname, "../..");
const PURE = ["time", "hands", "routine", "facts", "clips", "sound", "recordings"].map(
  (room) => `server/${room}`,
);
const SHELL = ["store", "jobs", "live", "web", "cli", "clips-folder"].map((room) => `server/${room}`);
/** A worker's own file, and the one that starts workers, are the shell of their room. */
const isWorker = (file: string): boolean => /\.worker\.ts$|Workers?\.ts$/.test(file);

const files = (folder: string): string[] =>
  readdirSync(join(ROOT, folder), { recursive: true, encoding: "utf8" })
    .filter((name) => /\.tsx?$/.test(name) && !name.endsWith(".d.ts") && !name.endsWith("vite.config.ts"))
    .map((name) => `${folder}/${name}`);

/** Each import of a file: from the root for our own, the package's name otherwise; and whether it is of types only. */
function importsOf(file: string): { name: string; typeOnly: boolean }[] {
  const text = readFileSync(join(ROOT, file), "utf8");
  const found = text.matchAll(
    /(?:^|\n)\s*(import|export)\s+(type\s)?(?:[^"';]*?\sfrom\s)?"([^"]+)"|import\("([^"]+)"\)/g,
  );
  return [...found].map((match) => {
    const name = (match[3] ?? match[4] ?? "").replace(/\?.*$/, "");
    return {
      typeOnly: match[2] !== undefined,
      name: name.startsWith(".") ? relative(ROOT, resolve(join(ROOT, dirname(file)), name)) : name,
    };
  });
}

const ours = [...files("schemas"), ...files("server"), ...files("client")];
const edges = ours.flatMap((file) => importsOf(file).map((one) => ({ file, ...one })));
const within = (name: string, folder: string): boolean => name.startsWith(`${folder}/`);

test("every folder of the server is pure or shell", () => {
  const folders = readdirSync(join(ROOT, "server"), { withFileTypes: true }).filter((one) =>
    one.isDirectory(),
  );
  expect(folders.map(({ name }) => `server/${name}`).sort()).toEqual([...PURE, ...SHELL].sort());
});

test("only a worker's own file, and the one that starts workers, knows threads", () => {
  const wrong = edges.filter(({ file, name }) => name === "node:worker_threads" && !isWorker(file));
  expect(wrong).toEqual([]);
});

test("the test sees the imports that it judges", () => {
  expect(edges.filter(({ file }) => file === "server/cli/timeline.ts").map(({ name }) => name)).toContain(
    "server/routine/compile.ts",
  );
  expect(edges.length).toBeGreaterThan(100);
});

test("schemas import only zod and each other", () => {
  const wrong = edges.filter(
    ({ file, name }) => within(file, "schemas") && name !== "zod" && !within(name, "schemas"),
  );
  expect(wrong).toEqual([]);
});

test("server and client never import each other, and neither imports tests", () => {
  const wrong = edges.filter(
    ({ file, name }) =>
      (within(file, "server") && within(name, "client")) ||
      (within(file, "client") && within(name, "server")) ||
      within(name, "tests"),
  );
  expect(wrong).toEqual([]);
});

test("the pure rooms touch no disk, socket, thread, clock or randomness, and do not know the shell", () => {
  const wrong = edges.filter(
    ({ file, name }) =>
      PURE.some((room) => within(file, room)) &&
      !isWorker(file) &&
      ((name.startsWith("node:") && name !== "node:util") ||
        ["express", "ws"].includes(name) ||
        SHELL.some((room) => within(name, room)) ||
        isWorker(name)),
  );
  expect(wrong).toEqual([]);
  const clocks = ours.filter(
    (file) =>
      PURE.some((room) => within(file, room)) &&
      !isWorker(file) &&
      /\bDate\.now\(|new Date\(\)|Math\.random\(|performance\.now\(|set(?:Timeout|Interval)\(|\bcrypto\.|\bfetch\(/.test(
        readFileSync(join(ROOT, file), "utf8").replace(/\/\*[\s\S]*?\*\/|\/\/.*/g, ""),
      ),
  );
  expect(clocks).toEqual([]);
});

test("there is no cycle of imports", () => {
  const next = new Map<string, string[]>();
  for (const { file, name, typeOnly } of edges) {
    if (!typeOnly && ours.includes(name)) next.set(file, [...(next.get(file) ?? []), name]);
  }
  const done = new Set<string>();
  const cycles: string[] = [];
  const visit = (file: string, path: readonly string[]): void => {
    if (path.includes(file)) cycles.push([...path.slice(path.indexOf(file)), file].join(" → "));
    if (path.includes(file) || done.has(file)) return;
    for (const other of next.get(file) ?? []) visit(other, [...path, file]);
    done.add(file);
  };
  for (const file of ours) visit(file, []);
  expect(cycles).toEqual([]);
});
