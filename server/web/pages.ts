/**
 * The page's own files, read once at the start: nothing that a request says is ever made into a path.
 */
import { readdir, readFile } from "node:fs/promises";
import { extname, join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Route } from "./interfaces.ts";

export interface PageFile {
  readonly path: string;
  readonly type: string;
  readonly bytes: Buffer;
  /** Its name holds its hash, so that it may be kept for ever. */
  readonly hashed: boolean;
}

const TYPES: Readonly<Record<string, string>> = {
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".svg": "image/svg+xml",
  ".json": "application/json; charset=utf-8",
  ".map": "application/json; charset=utf-8",
  ".png": "image/png",
  ".woff2": "font/woff2",
};

/** The built client beside the built server: dist/client. */
const CLIENT = fileURLToPath(new URL("../../client/", import.meta.url));

/** @throws Error where there is no built client */
export async function readPages(folder: string = CLIENT): Promise<PageFile[]> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  const files: PageFile[] = [];
  for (const entry of entries) {
    const type = TYPES[extname(entry.name)];
    if (!entry.isFile() || type === undefined) continue;
    const full = join(entry.parentPath, entry.name);
    const path = `/${full.slice(join(folder, "/").length).replaceAll("\\", "/")}`;
    const hashed = path.startsWith("/assets/");
    files.push({ path: path === "/index.html" ? "/" : path, type, bytes: await readFile(full), hashed });
  }
  return files;
}

export const pageRoutes = (files: readonly PageFile[]): Route[] =>
  files.map(({ path, hashed }) => ({
    method: "GET",
    path,
    kind: path === "/" ? "page" : "shell",
    ...(hashed ? { hashed } : {}),
  }));
