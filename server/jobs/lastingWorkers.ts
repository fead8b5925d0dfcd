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

  /** @param tell hears how much is done, of a question whose thread says so */
  ask(question: Question, tell: (done: number) => void = () => {}): Promise<Answer> {
    return new Promise((resolve, reject) => {
      const number = ++this.#last;
      this.#waiting.set(number, { tell, resolve, reject });
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
      if (this.#waiting.size === 0) worker.unref();
      one?.resolve(message.answer);
    });
    this.#worker = worker;
    return worker;
  }

  /** Ends it; those who wait are told. */
  end(): void {
    void this.#worker?.terminate();
  }
}
