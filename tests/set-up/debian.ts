/** Tools that the tests use and that are no npm packages: independent readers of MIDI files, and of printed pages. */
import { execFileSync, spawnSync } from "node:child_process";
import { existsSync } from "node:fs";

const works = (command: string, ...words: string[]): boolean => spawnSync(command, words).status === 0;

const TOOLS: readonly { readonly name: string; readonly there: () => boolean }[] = [
  { name: "midicsv", there: () => existsSync("/usr/bin/midicsv") },
  { name: "python3-mido", there: () => works("/usr/bin/python3", "-c", "import mido") },
  { name: "poppler-utils", there: () => existsSync("/usr/bin/pdftotext") },
];

/** Installs what is missing where that can be done: on Debian and its relatives, as root. */
export function ensureDebianTools(): void {
  const missing = TOOLS.filter((tool) => !tool.there()).map((tool) => tool.name);
  if (missing.length === 0) return;
  const say = `These tests need ${missing.join(", ")}; install ${missing.length === 1 ? "it" : "them"} with your package manager.`;
  if (!existsSync("/usr/bin/apt-get") || process.getuid?.() !== 0) throw new Error(say);
  try {
    const env = { ...process.env, DEBIAN_FRONTEND: "noninteractive" };
    execFileSync("apt-get", ["update", "-qq"], { env, stdio: "ignore" });
    execFileSync("apt-get", ["install", "-y", "-qq", "--no-install-recommends", ...missing], {
      env,
      stdio: "ignore",
    });
  } catch {
    throw new Error(say);
  }
}
