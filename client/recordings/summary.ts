/** What a recording's sounds say, counted: by step of the group, by hand, by place in the bar. */
import type { HeardSound } from "../../schemas/recording.ts";
import { spreadOf } from "../../schemas/spread.ts";

/** What became of a sound. `fine`: its error cannot be heard. */
export type Became = "fine" | "early" | "late" | "missed";

export const becameOf = ({ errorMs, unheardMs }: Pick<HeardSound, "errorMs" | "unheardMs">): Became => {
  if (errorMs === null) return "missed";
  if (Math.abs(errorMs) <= unheardMs) return "fine";
  return errorMs < 0 ? "early" : "late";
};

export interface Group {
  readonly name: string;
  readonly count: number;
  readonly missed: number;
  /** Mean error, milliseconds; null where all were missed. */
  readonly mean: number | null;
  /** Of the errors, as `spreadOf` says. */
  readonly spread: number | null;
}

export function groupsOf(sounds: readonly HeardSound[], keyOf: (sound: HeardSound) => string): Group[] {
  const groups = new Map<string, HeardSound[]>();
  for (const sound of sounds) groups.set(keyOf(sound), [...(groups.get(keyOf(sound)) ?? []), sound]);
  return [...groups].map(([name, all]) => {
    const errors = all.flatMap(({ errorMs }) => (errorMs === null ? [] : [errorMs]));
    const mean = errors.length === 0 ? null : errors.reduce((sum, error) => sum + error, 0) / errors.length;
    return {
      name,
      count: all.length,
      missed: all.length - errors.length,
      mean,
      spread: spreadOf(errors),
    };
  });
}

/** "12.3 ms". Null where fewer than two were met: of one it says nothing, though files of before may have 0 there. */
export const spreadText = ({
  matched,
  spreadMs,
}: {
  readonly matched: number;
  readonly spreadMs: number | null;
}): string | null => (matched < 2 || spreadMs === null ? null : `${spreadMs.toFixed(1)} ms`);

/** "37.2 ms late"; "on time" where nothing would be left of it. */
export function lateText(ms: number): string {
  const size = Math.abs(ms).toFixed(1);
  return size === "0.0" ? "on time" : `${size} ms ${ms < 0 ? "early" : "late"}`;
}
