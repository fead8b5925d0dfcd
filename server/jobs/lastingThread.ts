/**
 * One thread that stays, so that what it worked out before is there for the next question. It is started when it is
 * first asked, and anew when it broke off; with nothing to do it keeps no program from ending.
 */
import { Worker } from "node:worker_threads";

/** What goes to the thread, and what comes back. */
export interface Asked<Question> {
  readonly number: number;
  readonly question: Question;
}
export interface Answered<Answer> {
  readonly number: number;
  readonly answer: Answer;
}

interface Waiting<Answer> {
  resolve(answer: Answer): void;
  reject(error: Error): void;
}

export class LastingThread<Question, Answer> {
  readonly #script: URL;
  readonly #whyOf: (error?: Error) => Error;
  readonly #waiting = new Map<number, Waiting<Answer>>();
  #worker: Worker | null = null;
  #last = 0;

  /**
   * @param script URL of the built thread
   * @param whyOf what those are told who wait when it breaks off, of its error where it had one
   */
  constructor(script: URL, whyOf: (error?: Error) => Error) {
    this.#script = script;
    this.#whyOf = whyOf;
  }

  ask(question: Question): Promise<Answer> {
    return new Promise((resolve, reject) => {
      const number = ++this.#last;
      this.#waiting.set(number, { resolve, reject });
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
    worker.on("message", ({ number, answer }: Answered<Answer>) => {
      const one = this.#waiting.get(number);
      this.#waiting.delete(number);
      if (this.#waiting.size === 0) worker.unref();
      one?.resolve(answer);
    });
    this.#worker = worker;
    return worker;
  }

  /** Ends it; those who wait are told. */
  end(): void {
    void this.#worker?.terminate();
  }
}
