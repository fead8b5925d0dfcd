/**
 * The paths of one bar row. All shapes of one kind are one path, so that a row is a dozen elements however full
 * its bar is; what lies under a pointer is worked out from the numbers, not from elements.
 */
import type { Row } from "./content.ts";
import {
  blockHeight,
  blockOutline,
  boxPath,
  bracketPath,
  cutOutline,
  linePath,
  outlinePath,
  xOf,
} from "./geometry.ts";
import { beatTop, type RowMetrics, tracksOf } from "./metrics.ts";

export interface RowPaths {
  /** Rounds of the record hand's group with an even number: toned, so that the staircase shows. */
  readonly recordTone: string;
  readonly faderTone: string;
  readonly recordBrackets: string;
  readonly faderBrackets: string;
  /** Upright marks where a group starts. */
  readonly recordStarts: string;
  readonly faderStarts: string;
  readonly forwardSilent: string;
  readonly backSilent: string;
  readonly forwardHeard: string;
  readonly backHeard: string;
  readonly holds: string;
  readonly cuts: string;
  readonly openings: string;
  /** Where a pair of hands has something to do, and the fader is closed. */
  readonly faderLine: string;
  readonly words: string;
  readonly low: string;
  readonly high: string;
  readonly light: string;
  readonly beatStarts: string;
}

/** General MIDI percussion: bass drums, snares and claps; all else is light. */
const LOW = new Set([35, 36, 41, 43, 45]);
const HIGH = new Set([37, 38, 39, 40]);

/** @param speedPerDegreeUnit times platter speed of a record that turns one degree in one unit of time */
export function rowPaths(
  row: Row,
  frame: { readonly bar: number; readonly width: number },
  players: readonly number[],
  metrics: RowMetrics,
  speedPerDegreeUnit: number,
): RowPaths {
  const { width } = frame;
  const x = (position: number): number => xOf({ start: row.start, ...frame }, position);
  const clamp = (at: number): number => Math.min(width, Math.max(0, at));
  const lane = (player: number) => tracksOf(metrics, Math.max(0, players.indexOf(player)));
  const playerOf = (event: { owner: number; placement: number }): number =>
    row.placed.find((p) => p.owner === event.owner && p.placement === event.placement)?.player ?? 1;
  const parts = {
    recordTone: "",
    faderTone: "",
    recordBrackets: "",
    faderBrackets: "",
    recordStarts: "",
    faderStarts: "",
    forwardSilent: "",
    backSilent: "",
    forwardHeard: "",
    backHeard: "",
    holds: "",
    cuts: "",
    openings: "",
    faderLine: "",
    words: "",
    low: "",
    high: "",
    light: "",
    beatStarts: "",
  };

  for (const [groups, hand] of [
    [row.recordGroups, "record"],
    [row.faderGroups, "fader"],
  ] as const) {
    for (const group of groups) {
      const tracks = lane(group.player);
      const from = x(group.start);
      const to = x(group.end);
      const ends = { starts: from >= 0, ends: to <= width, below: hand === "fader" };
      const [top, body, height] =
        hand === "record"
          ? [tracks.recordGroups, tracks.record, metrics.record]
          : [tracks.faderGroups, tracks.fader, metrics.fader];
      parts[`${hand}Brackets`] += bracketPath(clamp(from), clamp(to), top, metrics.groups, ends);
      if (group.round % 2 === 0)
        parts[`${hand}Tone`] += boxPath(
          clamp(from),
          clamp(to),
          hand === "record" ? top : body,
          height + metrics.groups,
        );
      if (ends.starts)
        parts[`${hand}Starts`] += boxPath(
          from,
          from + 3,
          hand === "record" ? top : body,
          height + metrics.groups,
        );
    }
  }

  for (const stroke of row.strokes) {
    const track = lane(playerOf(stroke)).record;
    const middle = track + metrics.record / 2;
    const from = x(stroke.start);
    const to = x(stroke.end);
    if (stroke.direction === "hold") {
      parts.holds += linePath(clamp(from), middle, clamp(to), middle);
      continue;
    }
    const speed = (Math.abs(stroke.to - stroke.from) / (stroke.end - stroke.start)) * speedPerDegreeUnit;
    const gap = Math.min(1, (to - from) * 0.1);
    const outline = blockOutline(
      stroke.direction,
      from + gap,
      to - gap,
      middle,
      blockHeight(speed, metrics.record),
    );
    parts[`${stroke.direction}Silent`] += outlinePath(cutOutline(outline, 0, width));
    for (const sound of row.sounds) {
      if (sound.owner !== stroke.owner || sound.placement !== stroke.placement) continue;
      if (sound.end <= stroke.start || sound.start >= stroke.end) continue;
      const heardFrom = Math.max(0, x(sound.start));
      const heardTo = Math.min(width, x(sound.end));
      if (heardTo <= heardFrom) continue;
      parts[`${stroke.direction}Heard`] += outlinePath(cutOutline(outline, heardFrom, heardTo));
      if (sound.onset === "cut" && x(sound.start) >= 0)
        parts.cuts += boxPath(heardFrom, heardFrom + 2, track, metrics.record);
    }
  }

  for (const opening of row.openings)
    parts.openings += boxPath(
      clamp(x(opening.start)),
      clamp(x(opening.end)),
      lane(playerOf(opening)).fader,
      metrics.fader,
    );
  for (const placed of row.placed) {
    const tracks = lane(placed.player);
    const from = clamp(x(placed.start));
    const to = clamp(x(placed.end));
    if (placed.pattern === null)
      parts.words += boxPath(
        from,
        to,
        tracks.recordGroups,
        metrics.groups * 2 + metrics.record + metrics.gap + metrics.fader,
      );
    else {
      const line = tracks.fader + metrics.fader / 2;
      parts.faderLine += linePath(from, line, to, line);
    }
  }

  const top = beatTop(metrics, players.length);
  for (const hit of row.beat) {
    const at = x(hit.at);
    const strength = 0.45 + (0.55 * hit.velocity) / 127;
    const height = (metrics.beat - 2) * strength;
    const bottom = top + metrics.beat;
    if (LOW.has(hit.key)) parts.low += boxPath(at, at + 9, bottom - height * 0.55, height * 0.55);
    else if (HIGH.has(hit.key)) parts.high += boxPath(at, at + 4, bottom - height, height);
    else parts.light += boxPath(at, at + 1.5, bottom - metrics.beat + 1, height * 0.45);
  }
  for (const at of row.beatStarts) parts.beatStarts += boxPath(x(at), x(at) + 2, top, metrics.beat);
  return parts;
}
