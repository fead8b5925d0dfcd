/**
 * A disk in memory that loses power. What a flush did not cover may be lost, cut short or full of zeros; of the
 * changes to a folder any number of the first may have been kept, whatever happened to the files meanwhile; a move
 * between two folders is kept in both or in neither, as file systems with a journal do it.
 * (Pillai et al. 2014, "All File Systems Are Not Created Equal", on what disks keep and in which order.)
 */
import { StoreError } from "../../server/store/errors.ts";
import type { FileSystem, Handle } from "../../server/store/fs.ts";

export class PowerOff extends Error {}

/** Flushes that do nothing: each must be noticed by whoever looks for lost work. */
export type Fault = "no journal sync" | "no folder sync" | "no file sync";

interface FileNode {
  kind: "file";
  flushed: Buffer;
  waiting: Buffer[];
}
interface FolderNode {
  kind: "folder";
  flushed: Map<string, Node>;
  now: Map<string, Node>;
  waiting: Change[];
}
interface Change {
  readonly act: (entries: Map<string, Node>) => void;
  /** The other half of a move between folders. */
  pair?: { readonly folder: FolderNode; readonly change: Change };
}
type Node = FileNode | FolderNode;

const code = (name: string): Error => Object.assign(new Error(name), { code: name });
const newFolder = (): FolderNode => ({ kind: "folder", flushed: new Map(), now: new Map(), waiting: [] });

/** `random` gives numbers from 0, 1 not included. */
export class PowerLossDisk {
  #root = newFolder();
  readonly #random: () => number;
  readonly #fault: Fault | null;
  #left = Number.POSITIVE_INFINITY;
  #life = 0;

  constructor(random: () => number, fault: Fault | null = null) {
    this.#random = random;
    this.#fault = fault;
  }

  /** Starts the machine. The power goes during the call of that number; after it every call fails. */
  start(calls: number): FileSystem {
    this.#left = calls;
    return this.#fileSystem(++this.#life);
  }

  /** Whether the power is gone: before that every error is a fault of the program. */
  get isOff(): boolean {
    return this.#left <= 0;
  }

  /** The power is gone: what is left is what the next start finds. */
  crash(): void {
    this.#life++;
    this.#decide();
    this.#root = this.#survivor(this.#root) as FolderNode;
  }

  /** How many of the changes of each folder are kept. */
  #kept = new Map<FolderNode, number>();

  #decide(): void {
    const folders = new Set<FolderNode>();
    const visit = (node: Node): void => {
      if (node.kind === "file" || folders.has(node)) return;
      folders.add(node);
      for (const each of [...node.now.values(), ...node.flushed.values()]) visit(each);
      for (const { pair } of node.waiting) if (pair !== undefined) visit(pair.folder);
    };
    visit(this.#root);
    this.#kept = new Map([...folders].map((folder) => [folder, this.#below(folder.waiting.length + 1)]));
    const keptOf = (folder: FolderNode): number => this.#kept.get(folder) ?? 0;
    for (let changed = true; changed; ) {
      changed = false;
      for (const folder of folders) {
        for (const [index, { pair }] of folder.waiting.entries()) {
          if (pair === undefined || index >= keptOf(folder)) continue;
          const there = pair.folder.waiting.indexOf(pair.change);
          if (there === -1 || there < keptOf(pair.folder)) continue;
          this.#kept.set(folder, index);
          changed = true;
        }
      }
    }
  }

  #flush(folder: FolderNode, count = folder.waiting.length): void {
    const changes = folder.waiting.splice(0, count);
    for (const { act } of changes) act(folder.flushed);
    for (const { pair } of changes) {
      if (pair !== undefined) this.#flush(pair.folder, pair.folder.waiting.indexOf(pair.change) + 1);
    }
  }

  #survivor(node: Node, seen = new Map<Node, Node>()): Node {
    const already = seen.get(node);
    if (already !== undefined) return already;
    if (node.kind === "file") {
      const file: FileNode = { kind: "file", flushed: this.#torn(node), waiting: [] };
      seen.set(node, file);
      return file;
    }
    const entries = new Map(node.flushed);
    for (const { act } of node.waiting.slice(0, this.#kept.get(node) ?? 0)) act(entries);
    const folder = newFolder();
    seen.set(node, folder);
    for (const [name, each] of entries) folder.flushed.set(name, this.#survivor(each, seen));
    folder.now = new Map(folder.flushed);
    return folder;
  }

  #torn({ flushed, waiting }: FileNode): Buffer {
    const more = Buffer.concat(waiting);
    const kept = Buffer.from(more.subarray(0, this.#below(more.length + 1)));
    // The size may have reached the disk before the content.
    const chance = this.#random();
    if (chance < 0.2) kept.fill(0, this.#below(kept.length + 1));
    else if (chance < 0.4 && kept.length > 0) {
      const start = this.#below(kept.length);
      kept.fill(0, start, Math.min(kept.length, start + 512));
    }
    return Buffer.concat([flushed, kept]);
  }

  #below(count: number): number {
    return Math.floor(this.#random() * count);
  }

  #fileSystem(life: number): FileSystem {
    /** Every call may be the last; then it may or may not have had its effect. */
    const call = async <T>(act: () => T): Promise<T> => {
      if (life !== this.#life || this.#left <= 0) throw new PowerOff();
      if (--this.#left > 0) return act();
      if (this.#random() < 0.5) {
        try {
          act();
        } catch {
          // It would have failed; nobody hears of it.
        }
      }
      throw new PowerOff();
    };
    const split = (path: string): [FolderNode, string] => {
      const parts = path.split("/").slice(1);
      const name = parts.pop() as string;
      let folder: Node = this.#root;
      for (const part of parts) {
        const next: Node | undefined = folder.kind === "folder" ? folder.now.get(part) : undefined;
        if (next === undefined) throw code("ENOENT");
        folder = next;
      }
      if (folder.kind !== "folder") throw code("ENOTDIR");
      return [folder, name];
    };
    const change = (folder: FolderNode, act: Change["act"]): Change => {
      const made: Change = { act };
      act(folder.now);
      folder.waiting.push(made);
      return made;
    };
    const find = (path: string): Node | undefined => {
      if (path === "/root") return this.#root;
      const [folder, name] = split(path.slice("/root".length));
      return folder.now.get(name);
    };
    const place = (path: string): [FolderNode, string] => split(path.slice("/root".length));

    const handleOf = (file: FileNode): Handle => {
      const flush = (): void => {
        file.flushed = Buffer.concat([file.flushed, ...file.waiting]);
        file.waiting = [];
      };
      return {
        write: (bytes) => call(() => void file.waiting.push(Buffer.from(bytes))),
        datasync: () => call(() => (this.#fault === "no journal sync" ? undefined : flush())),
        sync: () => call(() => (this.#fault === "no file sync" ? undefined : flush())),
        size: () =>
          call(() => file.flushed.length + file.waiting.reduce((sum, { length }) => sum + length, 0)),
        close: () => call(() => undefined),
      };
    };

    const gone = (path: string): void => {
      const [folder, name] = place(path);
      if (!folder.now.has(name)) throw code("ENOENT");
      change(folder, (entries) => entries.delete(name));
    };
    return {
      realPath: (path) => call(() => path),
      list: (path) =>
        call(() => {
          const folder = find(path);
          if (folder?.kind !== "folder") throw code("ENOENT");
          return [...folder.now].map(([name, { kind }]) => ({ name, kind }));
        }),
      status: (path) =>
        call(() => {
          const node = find(path);
          if (node === undefined) return null;
          const size = node.kind === "file" ? node.flushed.length + Buffer.concat(node.waiting).length : 0;
          return { kind: node.kind, size, modified: 0 };
        }),
      read: (path) =>
        call(() => {
          const node = find(path);
          if (node === undefined) return null;
          if (node.kind !== "file") throw new StoreError("not-ours", path);
          return Buffer.concat([node.flushed, ...node.waiting]);
        }),
      create: (path) =>
        call(() => {
          const [folder, name] = place(path);
          if (folder.now.has(name)) throw code("EEXIST");
          const file: FileNode = { kind: "file", flushed: Buffer.alloc(0), waiting: [] };
          change(folder, (entries) => entries.set(name, file));
          return handleOf(file);
        }),
      append: (path) =>
        call(() => {
          const node = find(path);
          if (node?.kind !== "file") throw code("ENOENT");
          return handleOf(node);
        }),
      rename: (from, to) => call(() => this.#move(place(from), place(to), change)),
      renameNew: (from, to) =>
        call(() => {
          const [folder, name] = place(to);
          if (folder.now.has(name)) throw code("EEXIST");
          this.#move(place(from), place(to), change);
        }),
      remove: (path) => call(() => gone(path)),
      removeFolder: (path) => call(() => gone(path)),
      makeFolder: (path) =>
        call(() => {
          const [folder, name] = place(path);
          if (folder.now.has(name)) throw code("EEXIST");
          const made = newFolder();
          change(folder, (entries) => entries.set(name, made));
        }),
      syncFolder: (path) =>
        call(() => {
          const folder = find(path);
          if (folder?.kind !== "folder") throw code("ENOENT");
          if (this.#fault === "no folder sync") return;
          this.#flush(folder);
        }),
    };
  }

  #move(
    [fromFolder, from]: [FolderNode, string],
    [toFolder, to]: [FolderNode, string],
    change: (folder: FolderNode, act: Change["act"]) => Change,
  ): void {
    const node = fromFolder.now.get(from);
    if (node === undefined) throw code("ENOENT");
    if (fromFolder === toFolder) {
      change(fromFolder, (entries) => {
        entries.delete(from);
        entries.set(to, node);
      });
    } else {
      const arrives = change(toFolder, (entries) => entries.set(to, node));
      const leaves = change(fromFolder, (entries) => entries.delete(from));
      arrives.pair = { folder: fromFolder, change: leaves };
      leaves.pair = { folder: toFolder, change: arrives };
    }
  }
}
