/** The built program, served on a fresh folder and opened as one would: what a browser test begins with. */
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import axe from "axe-core";
import type { Browser, Page } from "playwright-core";
import { afterAll, expect } from "vitest";
import { launchChromium } from "./chromium.ts";
import { type Served, serveFolder } from "./served.ts";

const WIDE = { width: 1280, height: 800 };
const PHONE = { width: 390, height: 844 };
const RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"];
const LOOSE = ".head, .foot, .panel { position: static !important; }";
/** Long enough for a machine with other work to do; a test that passes never waits for it. */
const PATIENCE = 15_000;

/** Run in the page. */
function cutOff(): string[] {
  const shown = [...document.querySelectorAll<HTMLElement>("main *, dialog[open] *")].filter(
    (one) => one.checkVisibility() && one.closest("svg, .unseen, .skip, .hand-area, .bench") === null,
  );
  const called = (one: HTMLElement) => `${one.tagName} ${one.textContent?.slice(0, 60)}`;
  const scrolled = (one: HTMLElement): boolean => {
    for (let up = one.parentElement; up !== null && up.tagName !== "MAIN"; up = up.parentElement)
      if (getComputedStyle(up).overflowX !== "visible") return true;
    return false;
  };
  const beyond = shown.filter((one) => {
    const { left, right, width } = one.getBoundingClientRect();
    return width > 0 && (left < -1 || right > innerWidth + 1) && !scrolled(one);
  });
  const narrow = shown.filter((one) => {
    const option = one instanceof HTMLSelectElement ? one.selectedOptions[0] : undefined;
    if (option === undefined) return false;
    const free = one.cloneNode() as HTMLElement;
    free.style.cssText = "position: absolute; visibility: hidden; max-width: none; width: auto";
    free.append(option.cloneNode(true));
    one.after(free);
    const { width } = free.getBoundingClientRect();
    free.remove();
    return width > one.getBoundingClientRect().width + 1;
  });
  return [...beyond, ...narrow].map(called);
}

interface Point {
  readonly x: number;
  readonly y: number;
}

export interface Opened {
  readonly browser: Browser;
  readonly served: Served;
  readonly page: Page;
  /** What went wrong in the page, or was said as an error on its console. */
  readonly faults: string[];
  /** Expects something of a value that comes about in a while. */
  soon<Value>(ask: () => Value | Promise<Value>): ReturnType<typeof expect.poll<Value>>;
  /** When every edit stands on disk. */
  saved(): Promise<void>;
  /** Goes where an address of the page's own leads, such as `#/write`. */
  go(hash: string): Promise<void>;
  /** Presses keys one after the other. */
  press(...keys: string[]): Promise<void>;
  theme(name: "dark" | "light"): Promise<void>;
  /** Expects that axe finds nothing in what is shown, in both themes. */
  clean(): Promise<void>;
  /** Expects that nothing scrolls sideways on a phone, or is cut off at its edge, or in a choice too narrow for its words. */
  fits(): Promise<void>;
  /** One finger, in the browser's own way: what scrolls is decided there. Of a page that was opened with `touch`. */
  readonly finger: {
    down(at: Point): Promise<unknown>;
    to(at: Point): Promise<unknown>;
    up(): Promise<unknown>;
  };
  /** Keeps a picture in the folder that PICTURES names, if it names one. */
  look(name: string): Promise<void>;
}

export interface Opening {
  /** Texts of routine files, by name; without any the demo stands there. */
  readonly files?: Readonly<Record<string, string>>;
  /** Further flags of Chromium. */
  readonly flags?: readonly string[];
  readonly viewport?: { readonly width: number; readonly height: number };
  /** The screen takes fingers as well as a mouse. */
  readonly touch?: boolean;
  /** What is to be done with the folder before it is served. */
  prepare?(folder: string): Promise<unknown>;
  /** What is to be done with the page before the program's own code runs in it. */
  before?(page: Page, served: Served): Promise<unknown>;
}

/** To be called at the top of a test file; closes everything after its tests. */
export async function openProgram({
  files,
  flags,
  viewport = WIDE,
  touch = false,
  prepare,
  before,
}: Opening = {}): Promise<Opened> {
  const home = await mkdtemp(join(tmpdir(), "countercut-browser-"));
  const folder = join(home, "routines");
  await prepare?.(folder);
  const served = await serveFolder(folder, home, files);
  const browser = await launchChromium(flags);
  afterAll(async () => {
    await browser.close();
    await served.close();
    await rm(home, { recursive: true, force: true });
  });
  const page = await (await browser.newContext({ viewport, hasTouch: touch })).newPage();
  page.setDefaultTimeout(PATIENCE);
  const faults: string[] = [];
  page.on("pageerror", (error) => faults.push(error.message));
  page.on("console", (message) => {
    if (message.type() === "error") faults.push(`${message.text()} ${message.location().url}`);
  });
  // What our own policy forbids is not even tried.
  await page.addInitScript(() =>
    addEventListener("securitypolicyviolation", ({ violatedDirective, blockedURI }) =>
      console.error(`Against the page's own policy, ${violatedDirective}: ${blockedURI}`),
    ),
  );
  await before?.(page, served);
  await page.goto(served.link);
  await page.locator("main [id^=section-]").first().waitFor();
  const screen = await page.context().newCDPSession(page);
  const touched = (type: "touchStart" | "touchMove" | "touchEnd", ...touchPoints: Point[]) =>
    screen.send("Input.dispatchTouchEvent", { type, touchPoints });
  const soon: Opened["soon"] = (ask) => expect.poll(ask, { timeout: PATIENCE, interval: 30 });
  const theme = (wanted: string) =>
    page.evaluate((name) => {
      document.documentElement.dataset["theme"] = name;
    }, wanted);
  const found = (rules: readonly string[]) =>
    page.evaluate(async (runOnly) => {
      const { violations } = await (window as unknown as { axe: typeof axe }).axe.run(document, {
        runOnly: [...runOnly],
      });
      return violations.map(
        ({ id, nodes }) => `${id}: ${nodes.slice(0, 3).map(({ html }) => html.slice(0, 160))}`,
      );
    }, rules);
  return {
    browser,
    served,
    page,
    faults,
    soon,
    finger: {
      down: (at) => touched("touchStart", at),
      to: (at) => touched("touchMove", at),
      up: () => touched("touchEnd"),
    },
    saved: () => soon(() => page.locator(".saved").innerText()).toBe("Saved"),
    go: (to) =>
      page.evaluate((hash) => {
        location.hash = hash;
      }, to),
    async press(...keys) {
      for (const key of keys) await page.keyboard.press(key);
    },
    theme,
    async clean() {
      if (!(await page.evaluate(() => "axe" in window))) await page.evaluate(axe.source);
      const before = await page.evaluate(() => document.documentElement.dataset["theme"] ?? "dark");
      const other = before === "dark" ? "light" : "dark";
      // What has scrolled half under the head or the foot is no small target.
      await page.evaluate((rules) => {
        const sheet = new CSSStyleSheet();
        sheet.replaceSync(rules);
        document.adoptedStyleSheets = [sheet];
      }, LOOSE);
      expect(await found(RULES)).toEqual([]);
      await page.evaluate(() => {
        document.adoptedStyleSheets = [];
      });
      // The theme changes colours alone.
      await theme(other);
      expect(await found(["color-contrast"]), other).toEqual([]);
      await theme(before);
    },
    async fits() {
      await page.setViewportSize(PHONE);
      const over = () => document.documentElement.scrollWidth - document.documentElement.clientWidth;
      await soon(() => page.evaluate(over)).toBeLessThanOrEqual(0);
      await soon(() => page.evaluate(cutOff)).toEqual([]);
      await page.setViewportSize(viewport);
    },
    async look(name) {
      const folder = process.env["PICTURES"];
      if (folder !== undefined) await page.screenshot({ path: join(folder, `${name}.png`), fullPage: true });
    },
  };
}
