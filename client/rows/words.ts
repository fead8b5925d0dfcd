/** The text equivalent of a bar row, for those who hear the screen. */
import { beatUnits, countText } from "../parts/music.ts";
import type { Row } from "./content.ts";

/** "Player 2: " before a name, where that is not plain. */
export const whose = (player: number, players: readonly number[]): string =>
  players.length > 1 || player !== 1 ? `Player ${player}: ` : "";

/** @param names what a placement is called, by section and index */
export function rowText(
  row: Row,
  meter: string,
  names: (owner: number, placement: number) => string,
  players: readonly number[] = [1],
): string {
  const beat = beatUnits(meter);
  const at = (position: number): string => countText(position - row.start, beat);
  const inside = ({ start }: { start: number }): boolean => start >= row.start;
  const parts = [row.number >= 1 ? `Bar ${row.number}.` : `Lead-in, ${1 - row.number} before bar 1.`];
  for (const placed of row.placed) {
    const name = `${whose(placed.player, players)}${placed.words ?? names(placed.owner, placed.placement)}`;
    parts.push(inside(placed) ? `${name} from ${at(placed.start)}.` : `${name} goes on.`);
  }
  const sounds = row.sounds.filter(inside);
  parts.push(
    sounds.length === 0
      ? "Nothing is heard of the record."
      : `Heard: ${sounds.map((sound) => `${sound.direction} at ${at(sound.start)}`).join(", ")}.`,
  );
  const starts = (groups: readonly { start: number }[]): string =>
    groups
      .filter(inside)
      .map((g) => at(g.start))
      .join(", ");
  if (row.recordGroups.some(inside)) parts.push(`Record groups start at ${starts(row.recordGroups)}.`);
  if (row.faderGroups.some(inside)) parts.push(`Fader groups start at ${starts(row.faderGroups)}.`);
  const hits = [...new Set(row.beat.map((hit) => at(hit.at)))];
  if (hits.length > 0) parts.push(`Beat hits at ${hits.join(", ")}.`);
  return parts.join(" ");
}
