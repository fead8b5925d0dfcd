/**
 * One thread that stays, so that what it worked out before is there for the next question. It is started when it is
 * first asked, and anew when it broke off; with nothing to do it keeps no program from ending, and ends when it was not
 * asked for a while.
 */
import { Worker } from "node:worker_threads";

/** Milliseconds that a thread stays with nothing to do: as long as tables of samples are kept. */
const STAYS = 600_000;

/** What goes to the thread, and what comes back. */
export interface Asked<Question> {
  readonly number: number;
  readonly question: Question;
}
export interface Answered<Answer> {
  readonly number: number;
  readonly answer: Answer;
}
/** How much is done, 0 to 1, before the answer. */
export interface Told {
  readonly number: number;
  readonly done: number;
}

interface Waiting<Answer> {
  tell(done: number): void;
  resolve(answer: Answer): void;
  reject(error: Error): void;
}

export class LastingThread<Question, Answer> {
  readonly #script: URL;
  readonly #whyOf: (error?: Error) => Error;
  readonly #stays: number;
  readonly #waiting = new Map<number, Waiting<Answer>>();
  #worker: Worker | null = null;
  #leaving: NodeJS.Timeout | undefined;
  #last = 0;

  /**
   * @param script URL of the built thread
   * @param whyOf what those are told who wait when it breaks off, of its error where it had one
   * @param stays milliseconds that it is kept with nothing to do
   */
  constructor(script: URL, whyOf: (error?: Error) => Error, stays = STAYS) {
    this.#script = script;
    this.#whyOf = whyOf;
    this.#stays = stays;
  }

  /** @param tell hears how much is done, of a question whose thread says so */
  ask(question: Question, tell: (done: number) => void = () => {}): Promise<Answer> {
    return new Promise((resolve, reject) => {
      const number = ++this.#last;
      this.#waiting.set(number, { tell, resolve, reject });
      clearTimeout(this.#leaving);
      const worker = this.#worker ?? this.#start();
      worker.ref();
      worker.postMessage({ number, question } satisfies Asked<Question>);
    });
  }

  #start(): Worker {
    const worker = new Worker(this.#script);
    const lost = (error?: Error): void => {
      if (this.#worker !== worker) return;
      this.#worker = null;
      const why = this.#whyOf(error);
      for (const { reject } of this.#waiting.values()) reject(why);
      this.#waiting.clear();
    };
    worker.on("error", lost);
    worker.on("exit", () => lost());
    worker.on("message", (message: Answered<Answer> | Told) => {
      const { number } = message;
      const one = this.#waiting.get(number);
      if ("done" in message) {
        one?.tell(message.done);
        return;
      }
      this.#waiting.delete(number);
      if (this.#waiting.size === 0) this.#rest(worker);
      one?.resolve(message.answer);
    });
    this.#worker = worker;
    return worker;
  }

  /** Nothing is to be done. */
  #rest(worker: Worker): void {
    worker.unref();
    this.#leaving = setTimeout(() => {
      // Whoever asks while it ends is answered by another.
      this.#worker = null;
      void worker.terminate();
    }, this.#stays).unref();
  }

  /** Ends it; those who wait are told. */
  end(): void {
    clearTimeout(this.#leaving);
    void this.#worker?.terminate();
  }
}
