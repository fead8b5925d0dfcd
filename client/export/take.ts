/** Files out of the page: downloaded, or dragged with the file itself. */
import { signal } from "@preact/signals";
import { saveFile } from "../parts/saveFile.ts";
import { fetchWithBearer } from "../state/access.ts";
import { sentenceOf } from "../state/ask.ts";

/** A sentence, where a file could not be had. */
export const takeTrouble = signal<string | null>(null);

/** A file needs the bearer, so it is fetched and then handed to the browser. */
export async function download(path: string, file: string): Promise<void> {
  takeTrouble.value = null;
  try {
    const answer = await fetchWithBearer(path);
    if (answer.ok) saveFile(await answer.blob(), file);
    else takeTrouble.value = `${file} could not be had: ${await sentenceOf(answer)}`;
  } catch {
    takeTrouble.value = `${file} could not be had: the server does not answer. Try again.`;
  }
}

/** Addresses of files that were fetched to be dragged out: a drag cannot wait, nor send the bearer. */
const ready = new Map<string, string>();
export async function makeReady(path: string): Promise<void> {
  if (ready.has(path)) return;
  ready.set(path, "");
  const answer = await fetchWithBearer(path).catch(() => null);
  if (answer?.ok === true) ready.set(path, URL.createObjectURL(await answer.blob()));
  else ready.delete(path);
}
export function forgetReady(): void {
  for (const address of ready.values()) if (address !== "") URL.revokeObjectURL(address);
  ready.clear();
}

/** Puts the file into the drag; a drag that starts before it is there is not begun. */
export function dragOut(event: DragEvent, path: string, file: string, type: string): void {
  const address = ready.get(path);
  if (address === undefined || address === "" || event.dataTransfer === null) {
    event.preventDefault();
    return;
  }
  event.dataTransfer.effectAllowed = "copy";
  event.dataTransfer.setData("DownloadURL", `${type}:${file}:${address}`);
}
