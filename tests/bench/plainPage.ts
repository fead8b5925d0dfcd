/**
 * A page that nobody listens in on. Playwright has the browser tell it of every frame of every socket, with its bytes: of
 * a page that plays that is two megabytes a second of text, made in the thread that brings the sound, carried through
 * three processes and read in a fourth: a third of all that a machine with two cores did. No player's browser does that, so what is
 * timed runs in a page of its own, which is asked over the same protocol and tells nothing unasked.
 */
import type { Browser, CDPSession } from "playwright-core";

interface Evaluated {
  readonly result: { readonly value: unknown };
  readonly exceptionDetails?: {
    readonly text: string;
    readonly exception?: { readonly description: string };
  };
}

/** Milliseconds after which what is waited for will not come. */
const LONGEST = 20_000;

/** Virtual key codes of Windows, by which the protocol names keys, and what a key writes. */
const KEYS = {
  ArrowLeft: { code: 37, text: undefined },
  ArrowRight: { code: 39, text: undefined },
  Enter: { code: 13, text: "\r" },
  Space: { code: 32, text: " " },
} as const;
export type Key = keyof typeof KEYS;

export class PlainPage {
  readonly #browser: CDPSession;
  readonly #context: string;
  readonly #session: string;
  readonly #waiting = new Map<number, { resolve(result: unknown): void; reject(error: Error): void }>();
  #last = 0;

  private constructor(browser: CDPSession, context: string, session: string) {
    this.#browser = browser;
    this.#context = context;
    this.#session = session;
    browser.on("Target.receivedMessageFromTarget", ({ sessionId, message }) => {
      if (sessionId === session) this.#heard(message);
    });
  }

  static async open(browser: Browser, width = 1280, height = 800): Promise<PlainPage> {
    const whole = await browser.newBrowserCDPSession();
    // In a context that playwright has not made, it leaves pages alone.
    const { browserContextId } = await whole.send("Target.createBrowserContext", { disposeOnDetach: true });
    const { targetId } = await whole.send("Target.createTarget", {
      url: "about:blank",
      browserContextId,
      width,
      height,
    });
    const { sessionId } = await whole.send("Target.attachToTarget", { targetId, flatten: false });
    const page = new PlainPage(whole, browserContextId, sessionId);
    await page.send("Page.enable");
    await page.send("Emulation.setDeviceMetricsOverride", {
      width,
      height,
      deviceScaleFactor: 1,
      mobile: false,
    });
    return page;
  }

  #heard(text: string): void {
    const { id, result, error } = JSON.parse(text);
    const one = this.#waiting.get(id);
    this.#waiting.delete(id);
    if (error === undefined) one?.resolve(result);
    else one?.reject(new Error(error.message));
  }

  async send(method: string, params: object = {}): Promise<unknown> {
    const id = ++this.#last;
    const answer = new Promise<unknown>((resolve, reject) => this.#waiting.set(id, { resolve, reject }));
    const message = JSON.stringify({ id, method, params });
    await this.#browser.send("Target.sendMessageToTarget", { message, sessionId: this.#session });
    return answer;
  }

  /** Runs before the code of each page that is gone to. */
  async atFirst(script: () => void): Promise<void> {
    await this.send("Page.addScriptToEvaluateOnNewDocument", { source: `(${script})()` });
  }

  async goto(url: string): Promise<void> {
    await this.send("Page.navigate", { url });
  }

  /** What a function gives, or promises, in the page. @throws Error with what was thrown there */
  async evaluate<Result, Arg = undefined>(act: (arg: Arg) => Result, arg?: Arg): Promise<Awaited<Result>> {
    const { result, exceptionDetails } = (await this.send("Runtime.evaluate", {
      expression: `(${act})(${JSON.stringify(arg)})`,
      awaitPromise: true,
      returnByValue: true,
    })) as Evaluated;
    if (exceptionDetails !== undefined)
      throw new Error(exceptionDetails.exception?.description ?? exceptionDetails.text);
    return result.value as Awaited<Result>;
  }

  /** Looked at in every frame until it gives something. */
  waitFor<Result, Arg = undefined>(
    look: (arg: Arg) => Result,
    arg?: Arg,
  ): Promise<NonNullable<Awaited<Result>>> {
    const text = `(arg) => new Promise((resolve, reject) => {
      const until = performance.now() + ${LONGEST};
      const again = () => {
        const found = (${look})(arg);
        if (found) resolve(found);
        else if (performance.now() > until) reject(new Error("It did not come."));
        else requestAnimationFrame(again);
      };
      again();
    })`;
    return this.evaluate(text as unknown as (arg: Arg) => NonNullable<Awaited<Result>>, arg);
  }

  async press(name: Key): Promise<void> {
    const { code, text } = KEYS[name];
    const key = { key: name === "Space" ? " " : name, code: name, windowsVirtualKeyCode: code };
    const down = text === undefined ? { type: "rawKeyDown" } : { type: "keyDown", text };
    await this.send("Input.dispatchKeyEvent", { ...down, ...key });
    await this.send("Input.dispatchKeyEvent", { type: "keyUp", ...key });
  }

  /** Text in place of what stands in a field that a function finds. */
  async fill(find: () => HTMLInputElement | null | undefined, text: string): Promise<void> {
    await this.waitFor(
      `() => {
      const field = (${find})();
      field?.focus();
      field?.select();
      return field != null;
    }` as unknown as () => boolean,
    );
    await this.send("Input.insertText", { text });
  }

  /** In the middle of what a function finds in the page, once it is shown. */
  async click(find: () => Element | null | undefined): Promise<void> {
    const place = await this.waitFor(
      `() => {
      const found = (${find})();
      found?.scrollIntoView({ block: "center", behavior: "instant" });
      const box = found?.getBoundingClientRect();
      return box?.width > 0 && { x: box.x + box.width / 2, y: box.y + box.height / 2 };
    }` as unknown as () => { x: number; y: number },
    );
    const button = { ...place, button: "left", clickCount: 1 };
    await this.send("Input.dispatchMouseEvent", { type: "mouseMoved", ...place });
    await this.send("Input.dispatchMouseEvent", { type: "mousePressed", ...button });
    await this.send("Input.dispatchMouseEvent", { type: "mouseReleased", ...button });
  }

  async close(): Promise<void> {
    await this.#browser.send("Target.disposeBrowserContext", { browserContextId: this.#context });
    await this.#browser.detach();
  }
}
