/** Reads a zip as it comes, within bounds: what its head promises is not believed, every byte is counted. */
import { Unzip, UnzipInflate, UnzipPassThrough } from "fflate";

export interface ZipBounds {
  readonly entries: number;
  /** Bytes of all entries together, unpacked. */
  readonly bytes: number;
}

const BROKEN = "The file is damaged, or ends before its end.";

/** What is wrong with the zip, in a sentence. */
export class ZipError extends Error {}

/**
 * The files of a zip by their names, folders left out.
 * @throws ZipError where it is none, is cut off, is packed in an unknown way, or goes beyond the bounds
 */
export async function unzip(
  parts: AsyncIterable<Uint8Array>,
  bounds: ZipBounds,
): Promise<Map<string, Uint8Array>> {
  const files = new Map<string, Uint8Array>();
  let open = 0;
  let bytes = 0;
  let fault: string | null = null;
  const reader = new Unzip((file) => {
    if (fault !== null || file.name.endsWith("/")) return;
    if (files.has(file.name)) fault = `The file holds ${file.name} twice.`;
    if (files.size >= bounds.entries) fault = `The file holds more than ${bounds.entries} files.`;
    if (fault !== null) return;
    const pieces: Uint8Array[] = [];
    files.set(file.name, new Uint8Array());
    open += 1;
    file.ondata = (error, piece, last) => {
      if (error !== null) fault = `${file.name} in it is damaged.`;
      if (fault !== null) return;
      bytes += piece.length;
      if (bytes > bounds.bytes) {
        fault = `Unpacked it has more than ${Math.floor(bounds.bytes / 1024 / 1024)} MiB.`;
        file.terminate();
        return;
      }
      pieces.push(piece.slice());
      if (!last) return;
      open -= 1;
      files.set(file.name, Buffer.concat(pieces));
    };
    try {
      file.start();
    } catch {
      fault = `${file.name} in it is packed in a way that is not known here.`;
    }
  });
  reader.register(UnzipInflate);
  reader.register(UnzipPassThrough);
  let any = false;
  try {
    for await (const part of parts) {
      any ||= part.length > 0;
      reader.push(part, false);
      if (fault !== null) break;
    }
    if (fault === null) reader.push(new Uint8Array(), true);
  } catch (error) {
    if (!isOfTheZip(error)) throw error;
    fault ??= BROKEN;
  }
  if (fault !== null) throw new ZipError(fault);
  if (!any || files.size === 0) throw new ZipError("This is no zip file, or nothing is in it.");
  if (open > 0) throw new ZipError(BROKEN);
  return files;
}

/** fflate numbers its errors. */
const isOfTheZip = (error: unknown): boolean =>
  error instanceof Error && typeof (error as Error & { code?: unknown }).code === "number";
