/** Why something cannot be saved, in a sentence for the user. */
import { StoreError } from "./errors.ts";

const REASONS: Readonly<Record<string, string>> = {
  ENOSPC: "the disk is full",
  EDQUOT: "this user's part of the disk is full",
  EROFS: "the disk is read-only",
  EACCES: "this user may not write into the folder of routines",
  EPERM: "this user may not write into the folder of routines",
  EIO: "the disk reports a fault",
  ENOENT: "the folder is gone",
  ENOTDIR: "a file stands where its folder should be",
  EMFILE: "too many files are open",
};

export function whyUnsaved(error: unknown): string {
  const { code = "", message } = error as NodeJS.ErrnoException;
  return `Changes cannot be saved: ${REASONS[code] ?? message}.`;
}

/** Does what writes to the disk. @throws StoreError for whatever the disk refuses */
export async function saving<Result>(act: () => Promise<Result>): Promise<Result> {
  try {
    return await act();
  } catch (error) {
    if (error instanceof StoreError) throw error;
    throw new StoreError("read-only", whyUnsaved(error));
  }
}
