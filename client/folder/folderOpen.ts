/** Whether the list of routines is open, and what is being done there: one copied, called otherwise, put into the bin. */
import { signal } from "@preact/signals";
import { ask } from "../state/connection.ts";
import { folder } from "../state/opening.ts";
import { said } from "../state/said.ts";
import { opened } from "../state/shown.ts";
import { forgetLink } from "./OtherBrowser.tsx";
import { tried } from "./tried.ts";

export const folderOpen = signal(false);
export const showFolder = (): void => {
  folderOpen.value = folder.value !== null;
};
/** The routine that is being copied or called otherwise. */
export const naming = signal<{ readonly name: string; readonly how: "copy" | "rename" } | null>(null);
/** Opens the folder where a routine is copied or renamed; the open one where none is named. */
export function nameAnew(how: "copy" | "rename", name = opened.value?.name): void {
  if (name === undefined) return;
  naming.value = { name, how };
  folderOpen.value = true;
}
/** It can be brought back from there. @returns why it could not be done, or null */
export async function intoBin(name: string): Promise<string | null> {
  const why = await tried(() => ask({ type: "bin", name }));
  if (why === null) said.value = `${name} is in the bin: Routines, above, brings it back.`;
  return why;
}
/** The routine that is open. */
export const binOpened = (): void => {
  const name = opened.value?.name;
  if (name === undefined) return;
  void intoBin(name).then((why) => {
    if (why !== null) said.value = why;
  });
};
export const shut = (): void => {
  folderOpen.value = false;
  naming.value = null;
  forgetLink();
};
