/** Finds a Chromium on this machine or installs one; and launches it. */
import { execFileSync } from "node:child_process";
import { existsSync } from "node:fs";
import { delimiter, join } from "node:path";
import { type Browser, chromium } from "playwright-core";

const NAMES = [
  "chromium",
  "chromium-browser",
  "google-chrome",
  "google-chrome-stable",
  "microsoft-edge",
  "microsoft-edge-stable",
  "brave-browser",
];
const ELSEWHERE = [
  "/Applications/Chromium.app/Contents/MacOS/Chromium",
  "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
  "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
  "C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe",
  "C:\\Program Files (x86)\\Google\\Chrome\\Application\\chrome.exe",
  "C:\\Program Files (x86)\\Microsoft\\Edge\\Application\\msedge.exe",
];
/**
 * What a browser with windows does beside the page, which would run through everything that is measured: above all the
 * pages of its own address line. A browser takes the last such list alone, so what playwright turns off stands here too.
 */
const WITHOUT = [
  "WebUIOmniboxPopup",
  "WebUIOmniboxAimPopup",
  "WebUIOmniboxFullPopup",
  "AimEnabled",
  "AvoidUnnecessaryBeforeUnloadCheckSync",
  "DestroyProfileOnBrowserClose",
  "HttpsFirstBalancedModeAutoEnable",
  "HttpsUpgrades",
  "LensOverlay",
  "MediaRouter",
  "NetworkTimeServiceQuerying",
  "OptimizationHints",
  "PaintHolding",
  "PreconnectToSearch",
  "ThirdPartyStoragePartitioning",
];
const FLAGS = [
  `--disable-features=${WITHOUT.join(",")}`,
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
  "--autoplay-policy=no-user-gesture-required",
];
const WHAT_TO_DO =
  "No Chromium was found or could be installed: install Chromium, Chrome or Edge, or set CHROMIUM to its path, and run the tests again.";

export function installedChromium(
  env: Readonly<Record<string, string | undefined>> = process.env,
  exists: (path: string) => boolean = existsSync,
): string | null {
  if (env["CHROMIUM"] !== undefined && exists(env["CHROMIUM"])) return env["CHROMIUM"];
  const paths = (env["PATH"] ?? "").split(delimiter).filter((path) => path !== "");
  const candidates = [...NAMES.flatMap((name) => paths.map((path) => join(path, name))), ...ELSEWHERE];
  return candidates.find(exists) ?? null;
}

function install(): string | null {
  const debianRoot = existsSync("/etc/debian_version") && process.getuid?.() === 0;
  try {
    if (debianRoot) {
      execFileSync("apt-get", ["update"], { stdio: "ignore" });
      execFileSync("apt-get", ["install", "--yes", "--no-install-recommends", "chromium"], {
        stdio: "ignore",
      });
      return installedChromium();
    }
    const cli = join(import.meta.dirname, "../../node_modules/playwright-core/cli.js");
    execFileSync(process.execPath, [cli, "install", "chromium-headless-shell"], { stdio: "ignore" });
    const path = chromium.executablePath();
    return existsSync(path) ? path : null;
  } catch {
    return null;
  }
}

/** @throws Error with one sentence that says what to do */
export async function launchChromium(more: readonly string[] = []): Promise<Browser> {
  const executablePath = installedChromium() ?? install();
  if (executablePath === null) throw new Error(WHAT_TO_DO);
  const args = [...(process.getuid?.() === 0 ? ["--no-sandbox"] : []), ...FLAGS, ...more];
  return chromium.launch({ executablePath, args });
}
