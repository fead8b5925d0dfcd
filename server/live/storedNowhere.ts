/** A routine that is kept nowhere: what is made of it is as good as durable at once, and gone with it. */

import { StoreError } from "../store/errors.ts";
import type { Stored } from "../store/interfaces.ts";

export function storedNowhere(name: string, text: string): Stored {
  const nothing = (): Promise<never> => Promise.reject(new StoreError("not-found", "Nothing of it is kept."));
  return {
    name,
    epoch: "",
    start: { text, rev: 0 },
    after: [],
    before: [],
    recent: new Map(),
    notices: [],
    rev: 0,
    state: { is: "saved" },
    onState: () => () => {},
    append: async () => {},
    snapshot: async () => {},
    look: async () => ({ is: "saved" }),
    choose: nothing,
    history: { stretches: nothing, read: nothing, moment: nothing, list: nothing },
    close: async () => {},
  };
}
