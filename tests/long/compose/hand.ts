/** What whoever composes does with the page, and how long each part of it took. */
import type { Locator, Page } from "playwright-core";

export interface Hand {
  readonly page: Page;
  /** What went wrong in the page. */
  readonly faults: readonly string[];
  /** Does a part of the work, and says how long it took. */
  part<Result>(name: string, work: () => Promise<Result>): Promise<Result>;
  /** To a screen, by its name in the head. */
  go(screen: string): Promise<void>;
  press(...keys: string[]): Promise<void>;
  /** Types into a field in place of what it held, and ends it with Enter. */
  fill(field: Locator, text: string | number): Promise<void>;
  /** Until the server has every edit safe. */
  saved(): Promise<void>;
  /** Path of the file that comes of something. */
  taken(doing: () => Promise<unknown>): Promise<string>;
}

export function openedBy(page: Page): Hand {
  page.setDefaultTimeout(15_000);
  const faults: string[] = [];
  const fault = (text: string): void => {
    faults.push(text);
    console.error(`In the page: ${text}`);
  };
  page.on("pageerror", ({ message }) => fault(message));
  page.on("console", (message) => {
    if (message.type() === "error") fault(`${message.text()} ${message.location().url}`);
  });
  return {
    page,
    faults,
    async part(name, work) {
      const from = performance.now();
      const result = await work();
      console.log(`${name}: ${((performance.now() - from) / 1000).toFixed(1)} s`);
      return result;
    },
    go: (screen) => page.getByRole("link", { name: screen, exact: true }).first().click(),
    async press(...keys) {
      for (const key of keys) await page.keyboard.press(key);
    },
    async fill(field, text) {
      await field.fill(`${text}`);
      await field.press("Enter");
    },
    saved: () => page.locator(".saved", { hasText: /^(Saved|Safe)$/ }).waitFor(),
    async taken(doing) {
      const [file] = await Promise.all([page.waitForEvent("download"), doing()]);
      return file.path();
    },
  };
}
