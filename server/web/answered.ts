/** A route with its answer, and how an answer refuses. */
import type { Request, Response } from "express";
import type { Refusal, Route } from "./interfaces.ts";

/** A route, and what answers it. */
export interface Answered {
  readonly route: Route;
  readonly answer: (request: Request, response: Response) => Promise<void> | void;
}

/** Refused by an answer, in a way that the page understands. */
export class WebError extends Error {
  readonly refusal: Refusal;
  constructor(status: number, code: string, message: string) {
    super(message);
    this.refusal = { status, code, message };
  }
}
