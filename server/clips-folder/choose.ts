/** Which folder clips may be written into. The path is the user's own choice; it is only looked at, never guessed. */
import { isAbsolute, join, relative, sep } from "node:path";
import type { FileSystem } from "../store/fs.ts";

/**
 * @param routines the folder of the routines, as its real path
 * @returns the folder's real path, made where its parent is there
 */
export async function chooseFolder(
  fs: FileSystem,
  path: string,
  routines: string,
): Promise<{ readonly folder: string } | { readonly problem: string }> {
  if (path.includes("\0") || path.length > 4096) return { problem: "This is no path of a folder." };
  if (!isAbsolute(path))
    return { problem: `Write the whole path of the folder, from the top: ${join(routines, "clips")}, say.` };
  const there = await fs.status(path).catch(() => "beyond reach" as const);
  if (there === "beyond reach")
    return {
      problem: `${path} cannot be reached. See that all above it are folders, with permission to look into them.`,
    };
  if (there === null) {
    try {
      await fs.makeFolder(path);
    } catch {
      return { problem: `${path} is not there and could not be made. Make the folder above it first.` };
    }
  } else if (there.kind === "file") return { problem: `${path} is a file. Name a folder.` };
  let folder: string;
  try {
    folder = await fs.realPath(path);
    await fs.list(folder);
  } catch {
    return { problem: `${path} cannot be read as a folder. Choose another, or mend its permissions.` };
  }
  const inside = relative(routines, folder);
  const within = !inside.startsWith("..") && !isAbsolute(inside);
  if (inside === "")
    return { problem: "The routines themselves lie there. Choose a folder of its own for clips." };
  if (within && inside.split(sep).some((part) => part.startsWith(".") || part.endsWith(".sounds")))
    return { problem: "The program keeps its own files there. Choose another folder." };
  return { folder };
}
