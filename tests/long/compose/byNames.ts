/** A routine with names in place of ids: ids are given by the page as things are begun, and say nothing to a player. */
import type { Routine } from "../../../schemas/routine.ts";

export function byNames(routine: Routine): unknown {
  const names = (list: readonly { readonly id: string; readonly name?: string | undefined }[] = []) =>
    new Map(list.map(({ id, name }) => [id, name ?? id]));
  const patterns = names(routine.patterns);
  const beats = names(routine.beats);
  const samples = names(routine.rig?.samples);
  const named = (list: ReadonlyMap<string, string>, id: string | undefined) =>
    id === undefined ? undefined : (list.get(id) ?? id);
  const plain = JSON.parse(JSON.stringify(routine), (key, value: unknown) => {
    if (key === "pattern") return named(patterns, value as string);
    if (key === "beat") return named(beats, value as string);
    if (key === "sample") return named(samples, value as string);
    return value;
  }) as Routine;
  const bare = <Thing extends { readonly id: string }>(list: readonly Thing[] = []) =>
    list.map(({ id: _, ...rest }) => rest);
  return {
    ...plain,
    rig: { ...plain.rig, samples: bare(plain.rig?.samples) },
    patterns: bare(plain.patterns),
    beats: bare(plain.beats),
    sections: bare(plain.sections),
  };
}

/** Where two of them differ, as lines to read; none: they are the same. */
export function differences(is: unknown, meant: unknown, at = ""): string[] {
  const deep = (value: unknown): value is Record<string, unknown> =>
    typeof value === "object" && value !== null;
  if (!deep(is) || !deep(meant))
    return is === meant ? [] : [`${at}: ${JSON.stringify(is)}, not ${JSON.stringify(meant)}`];
  return [...new Set([...Object.keys(is), ...Object.keys(meant)])].flatMap((key) =>
    differences(is[key], meant[key], `${at}/${key}`),
  );
}
