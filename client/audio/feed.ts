/** The page's end of the thread that holds the sound socket (feed.worker.ts). */
import { type BlockHead, SOUND_WIRE } from "../../schemas/soundBlock.ts";
import { SoundFromServer, type SoundFromPage } from "../../schemas/soundWire.ts";
import { SUBPROTOCOL } from "../../schemas/version.ts";
import { bearer } from "../state/bearer.ts";
import { socketAddress } from "../state/socket.ts";
import type { FromFeed, ToFeed } from "./feedMessages.ts";

export interface FeedTold {
  said(message: SoundFromServer): void;
  head(head: BlockHead): void;
  begun(play: number): void;
  /** The connection broke, or could not be made. */
  lost(): void;
}

export class Feed {
  readonly #worker = new Worker(new URL("./feed.worker.ts", import.meta.url), { type: "module" });
  readonly #told: FeedTold;
  #welcomed: Promise<void> | null = null;
  #welcome = (): void => {};
  #refuse = (): void => {};

  /** @param audio the audio thread's end of a channel of its own */
  constructor(audio: MessagePort, told: FeedTold) {
    this.#told = told;
    this.#worker.onmessage = ({ data }: MessageEvent<FromFeed>) => this.#hear(data);
    this.#worker.onerror = () => this.#lose();
    this.#post({ type: "audio", port: audio }, [audio]);
  }

  #post(message: ToFeed, transfer: Transferable[] = []): void {
    this.#worker.postMessage(message, transfer);
  }

  /** @throws Error with a sentence for the user */
  connected(): Promise<void> {
    this.#welcomed ??= new Promise((resolve, reject) => {
      this.#welcome = resolve;
      this.#refuse = () =>
        reject(
          new Error("The sound could not be reached. See whether the server still runs, then play again."),
        );
      const hello = JSON.stringify({ type: "hello", wire: SOUND_WIRE, token: bearer() });
      this.#post({ type: "connect", url: socketAddress("/sound"), protocol: SUBPROTOCOL, hello });
    });
    return this.#welcomed;
  }

  say(message: SoundFromPage): void {
    this.#post({ type: "say", text: JSON.stringify(message) });
  }

  /** Blocks of this play are taken from now on. @param after frames of silence before it begins */
  play(play: number, after: number): void {
    this.#post({ type: "play", play, after });
  }

  #hear(data: FromFeed): void {
    switch (data.type) {
      case "heads":
        for (const head of data.heads) this.#told.head(head);
        break;
      case "begun":
        this.#told.begun(data.play);
        break;
      case "closed":
        this.#lose();
        break;
      case "text": {
        const parsed = SoundFromServer.safeParse(JSON.parse(data.text));
        if (!parsed.success) return;
        if (parsed.data.type === "welcome") this.#welcome();
        else this.#told.said(parsed.data);
      }
    }
  }

  #lose(): void {
    this.#welcomed = null;
    this.#refuse();
    this.#told.lost();
  }
}
