/** Every command of an installed program, run once as a stranger would, in an empty folder. */
import { rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { serveFolder } from "../browser/served.ts";
import { countercut, type Installed, scratchFolder } from "../cli/run.ts";

type Try = readonly [words: readonly string[], says: string | RegExp];

const FERRY = "ferry.routine.json";

/** One section, rendered by `sound`, is what `compare-recording` hears. */
const TRIES: readonly Try[] = [
  [["new", FERRY], /^$/],
  [["check", FERRY], "No problems."],
  [["timeline", FERRY], '"unitsPerQuarter"'],
  [["describe", FERRY], "Five lamps"],
  [["clips", FERRY, "--out", "clips"], /^$/],
  [["clips", FERRY, "--zip", "clips.zip"], /^$/],
  [["sound", FERRY, "--section", "moorings", "--part", "scratch", "--out", "moorings.wav"], /^$/],
  // Large enough for threads.
  [["find", "--record", "9", "--fader", "11", "--rank", "difficulty", "--top", "1", "--json"], '"count"'],
  [["fill", "--steps", "16", "--groups", "3,4,5"], "24"],
  [["neighbours", FERRY, "--pattern", "wake", "--top", "3"], "without stroke 2"],
  [["compare-times", "times.txt", "times.txt", "--json"], '"f": 1'],
  [["compare-recording", FERRY, "--section", "moorings", "--audio", "moorings.wav", "--json"], '"f"'],
  [["doctor", "."], "ferry"],
];

/** @returns what went wrong, a sentence each: none where every command works. */
export async function tryEveryCommand(installed: Installed): Promise<string[]> {
  const folder = scratchFolder();
  const wrong: string[] = [];
  writeFileSync(join(folder, "times.txt"), "0.5\n1\n1.5\n");
  for (const [words, says] of TRIES) {
    const { status, out, err } = await countercut(words, "", folder, installed);
    const said = typeof says === "string" ? out.includes(says) : says.test(out);
    if (status !== 0 || !said)
      wrong.push(`${words.join(" ")}: exit status ${status}: ${out.slice(0, 300)}${err}`);
  }
  wrong.push(...(await tryServe(folder, installed)));
  const help = (await countercut(["--help"], "", folder, installed)).out;
  const tried = new Set(["serve", ...TRIES.map(([[name]]) => name)]);
  for (const [, name = ""] of help.matchAll(/^ {2}([a-z-]+) {2,}/gm))
    if (!tried.has(name)) wrong.push(`${name} stands in --help, but was not tried.`);
  if (!help.includes("\n  serve ")) wrong.push(`--help says: ${help}`);
  rmSync(folder, { recursive: true, force: true });
  return wrong;
}

/** `serve` on a new folder: the routine is there, and the page with everything that it loads. */
export async function tryServe(home: string, installed: Installed): Promise<string[]> {
  const served = await serveFolder(join(home, "routines"), home, {}, installed);
  const wrong: string[] = [];
  try {
    const page = await (await fetch(served.link)).text();
    const parts = [...page.matchAll(/(?:src|href)="(\/?[^"#]+)"/g)].map(([, path = ""]) => path);
    if (!parts.some((path) => path.endsWith(".js")))
      wrong.push(`serve gives a page without a script: ${page}`);
    for (const path of parts) {
      const { status } = await fetch(new URL(path, served.link));
      if (status !== 200) wrong.push(`serve answers ${status} for ${path}.`);
    }
    if (!(await served.names()).includes("Night Ferry.routine.json"))
      wrong.push("serve began without the demo.");
  } catch (error) {
    wrong.push(`serve: ${String(error)}`);
  } finally {
    await served.close();
  }
  return wrong;
}
