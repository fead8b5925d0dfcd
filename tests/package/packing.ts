/** What `npm pack` makes, unpacked into a folder of its own. */
import { execFileSync } from "node:child_process";
import { mkdirSync, symlinkSync } from "node:fs";
import { dirname, join, relative, resolve } from "node:path";

const ROOT = resolve(import.meta.dirname, "../..");

/** npm is a script of the shell on Windows. */
export const npm = (words: readonly string[], cwd = ROOT): string =>
  execFileSync("npm", [...words], {
    cwd,
    encoding: "utf8",
    shell: process.platform === "win32",
    stdio: ["ignore", "pipe", "pipe"],
  });

/** Packs what is built, without building again. @returns the path of the package file */
export function pack(into: string): string {
  const [made] = JSON.parse(npm(["pack", "--ignore-scripts", "--json", "--pack-destination", into])) as {
    filename: string;
  }[];
  if (made === undefined) throw new Error("npm pack made nothing.");
  return join(into, made.filename);
}

/**
 * Unpacks it beside those packages alone that it says it needs, taken from here: as installed, without a registry.
 * @returns the program
 */
export function unpackHere(file: string, into: string): string {
  const place = join(into, "node_modules");
  mkdirSync(place, { recursive: true });
  execFileSync("tar", ["-xzf", file, "-C", place]);
  for (const path of npm(["ls", "--omit=dev", "--all", "--parseable"]).trim().split("\n").slice(1)) {
    const name = relative(join(ROOT, "node_modules"), path);
    // Packages inside packages come with them.
    if (name.includes("node_modules")) continue;
    mkdirSync(dirname(join(place, name)), { recursive: true });
    symlinkSync(path, join(place, name), "junction");
  }
  return join(place, "package/dist/server/cli/main.js");
}
