/**
 * The few things that the store asks of a disk, so that tests can put one in its place that loses power. A path is a
 * folder's path and a name joined by `/`. Errors carry a `code` as Node's do (`ENOSPC`, `EACCES`, …).
 */

export interface Entry {
  readonly name: string;
  /** Links, pipes and devices are `other`: the store never follows them. */
  readonly kind: "file" | "folder" | "other";
}

export interface Status {
  readonly kind: Entry["kind"];
  /** Bytes. */
  readonly size: number;
  /** Milliseconds since 1970. */
  readonly modified: number;
}

/** A file open for adding to its end. */
export interface Handle {
  /** Adds all the bytes, or throws; after a throw any part may be in the file. */
  write(bytes: Uint8Array): Promise<void>;
  /** Flushes what was written and the file's size. */
  datasync(): Promise<void>;
  sync(): Promise<void>;
  size(): Promise<number>;
  close(): Promise<void>;
}

export interface FileSystem {
  realPath(path: string): Promise<string>;
  /** In no order. */
  list(folder: string): Promise<readonly Entry[]>;
  /** Of the thing itself, not of what it links to; null where there is none. */
  status(path: string): Promise<Status | null>;
  /** A plain file's bytes; null where there is none. @throws StoreError `too-large`, `not-ours` for no plain file */
  read(path: string, largest: number): Promise<Uint8Array | null>;
  /** @throws EEXIST */
  create(path: string): Promise<Handle>;
  /** Opens a file that is there. */
  append(path: string): Promise<Handle>;
  /** Takes the place of what is there. */
  rename(from: string, to: string): Promise<void>;
  /** @throws EEXIST where something is there */
  renameNew(from: string, to: string): Promise<void>;
  remove(path: string): Promise<void>;
  /** @throws EEXIST */
  makeFolder(path: string): Promise<void>;
  /** With all that is in it. */
  removeFolder(path: string): Promise<void>;
  /** Makes creations, renames and removals in the folder last. */
  syncFolder(path: string): Promise<void>;
}
