/** A folder that is kept nowhere, with one routine: what is made of it is as good as durable at once, and gone with it. */
import { StoreError } from "../store/errors.ts";
import type { Handle } from "../store/fs.ts";
import type { Folder, Stored } from "../store/interfaces.ts";
import { JournalWriter } from "../store/writer.ts";

const nothing = (): Promise<never> => Promise.reject(new StoreError("not-found", "Nothing of it is kept."));

export function folderNowhere(name: string, text: string): Folder {
  return {
    path: "",
    notices: [],
    list: async () => [],
    open: async () => storedNowhere(name, text),
    create: nothing,
    copy: nothing,
    rename: nothing,
    remove: nothing,
    practice: nothing,
    addPractice: nothing,
    binned: nothing,
    bringBack: nothing,
    announce: () => {},
    close: async () => {},
  };
}

const file: Handle = {
  write: async () => {},
  datasync: async () => {},
  sync: async () => {},
  size: async () => 0,
  close: async () => {},
};

function storedNowhere(name: string, text: string): Stored {
  const journal = new JournalWriter(
    file,
    0,
    () => {},
    () => {},
  );
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
    append: (record) => journal.append(record),
    snapshot: async () => {},
    look: async () => ({ is: "saved" }),
    choose: nothing,
    history: { stretches: nothing, read: nothing, moment: nothing, list: nothing },
    close: async () => {},
  };
}
