/** A routine's past and present journal as one line of edits. */
import { StoreError } from "./errors.ts";
import type { FileSystem } from "./fs.ts";
import type { EditRecord, History, Moment, Stretch } from "./interfaces.ts";
import { pastFiles, readPast } from "./past.ts";

export interface Present {
  readonly base: Moment;
  readonly records: readonly EditRecord[];
}

/** `present` gives the journal as it stands at the moment of asking. */
export function historyOf(fs: FileSystem, past: string, present: () => Present): History {
  const stretchOf = ({ base, records }: Present): Stretch => {
    const times = records.map(({ at }) => at);
    return {
      first: base.rev + 1,
      last: base.rev + records.length,
      from: times.length === 0 ? 0 : times.reduce((a, b) => Math.min(a, b)),
      to: times.length === 0 ? 0 : times.reduce((a, b) => Math.max(a, b)),
    };
  };

  const history: History = {
    async stretches() {
      const now = stretchOf(present());
      return [...(await pastFiles(fs, past, now.first - 1)), now];
    },

    async read({ first }) {
      const now = present();
      if (first === now.base.rev + 1) return { base: now.base, records: [...now.records] };
      const found = (await pastFiles(fs, past, now.base.rev)).find((file) => file.first === first);
      if (found === undefined)
        throw new StoreError("not-found", `No stretch of the past starts at edit ${first}.`);
      return readPast(fs, past, found.file);
    },

    async moment(rev) {
      const stretches = await history.stretches();
      // The text a stretch starts from counts as its own, so that nothing need be applied to reach it.
      const found = stretches.findLast(({ first }) => first - 1 <= rev);
      if (found === undefined || found.last < rev) {
        throw new StoreError("not-found", `Revision ${rev} is not kept.`);
      }
      const { base, records } = await history.read(found);
      return { base, records: records.slice(0, rev - base.rev) };
    },

    async list(before, limit) {
      const found: EditRecord[] = [];
      for (const stretch of (await history.stretches()).toReversed()) {
        if (found.length >= limit) break;
        if (stretch.first >= before) continue;
        const { records } = await history.read(stretch);
        for (const record of records.toReversed()) {
          if (record.rev < before && found.length < limit) found.push(record);
        }
      }
      return found;
    },
  };
  return history;
}
