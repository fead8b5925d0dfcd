/**
 * A MIDI file as the tempo map of a routine: stretches of whole bars with a metre and a tempo, constant or a ramp
 * linear in beats. A stretch starts at each metre, each marker, and each tempo that stands alone on a bar line.
 */
import type { Section } from "../../../schemas/routine.ts";
import { UNITS_PER_QUARTER, type Units } from "../../../schemas/units.ts";
import { secondsInto } from "../../time/tempo.ts";
import type { MidiContent } from "./file.ts";

export interface TempoStretch {
  /** The marker at its start, or null. */
  readonly name: string | null;
  readonly bars: number;
  readonly meter: string;
  readonly tempo: Section["tempo"];
}

export interface TempoMap {
  readonly stretches: readonly TempoStretch[];
  /** The furthest that a tempo strays from the file's, in microseconds a quarter. */
  readonly error: number;
  readonly leftOut: readonly string[];
}

/** Without a tempo or a metre a file is at 120 in 4/4 (Standard MIDI Files 1.0). */
const DEFAULT_TEMPO = 500_000;
const DEFAULT_METER = { tick: 0, upper: 4, lower: 4 };

/** The shortest decimal number of quarters a minute that is written as these microseconds. */
export function tempoOf(microseconds: number): number {
  for (let places = 0; places < 10; places++) {
    const tempo = Number((60e6 / microseconds).toFixed(places));
    if (tempo > 0 && Math.round(60e6 / tempo) === microseconds) return tempo;
  }
  return 60e6 / microseconds;
}

/** A piece of constant tempo in ticks from its stretch's start; the end is not included. */
interface Piece {
  readonly from: number;
  readonly to: number;
  readonly microseconds: number;
}

/** Of pieces that follow each other from 0; the ramp through the middles of the first and the last. */
function fitted(pieces: readonly Piece[], ppq: number): { tempo: Section["tempo"]; error: number } {
  const [first, last] = [pieces[0] as Piece, pieces.at(-1) as Piece];
  if (pieces.every(({ microseconds }) => microseconds === first.microseconds)) {
    const tempo = tempoOf(first.microseconds);
    return { tempo, error: Math.abs(60e6 / tempo - first.microseconds) };
  }
  const middle = ({ from, to }: Piece): number => (from + to) / 2;
  const slope = (60e6 / last.microseconds - 60e6 / first.microseconds) / (middle(last) - middle(first));
  const from = 60e6 / first.microseconds - slope * middle(first);
  const to = from + slope * last.to;
  const units = (tick: number): number => (tick * UNITS_PER_QUARTER) / ppq;
  const tried = (places: number) => {
    const tempo = { from: Number(from.toFixed(places)), to: Number(to.toFixed(places)) };
    const secondsAt = (tick: number): number => secondsInto(tempo, units(last.to) as Units, units(tick));
    let error = 0;
    for (const piece of pieces) {
      const each = ((secondsAt(piece.to) - secondsAt(piece.from)) * 1e6 * ppq) / (piece.to - piece.from);
      error = Math.max(error, Math.abs(each - piece.microseconds));
    }
    return { tempo, error };
  };
  // As short as it can be while nobody could tell the difference.
  return [0, 1, 2, 3, 4, 5].map(tried).find(({ error }) => error <= 1) ?? tried(3);
}

export function tempoMapOf(content: MidiContent): TempoMap | { readonly problem: string } {
  const { ppq, tempos, meters, markers } = content;
  const end = Math.max(...content.tracks.map((track) => track.end));
  if (end < 1) return { problem: "This file has no length, so it has no tempo map." };
  const meterAt = (tick: number) => meters.findLast((one) => one.tick <= tick) ?? DEFAULT_METER;
  const barAt = (tick: number): number => {
    const { upper, lower } = meterAt(tick);
    return (ppq * 4 * upper) / lower;
  };

  const alone = tempos.filter(({ tick }, index) => {
    const bar = barAt(tick);
    const before = tempos[index - 1]?.tick ?? Number.NEGATIVE_INFINITY;
    const after = tempos[index + 1]?.tick ?? Number.POSITIVE_INFINITY;
    return tick - before >= bar && after - tick >= bar;
  });
  const starts = [...new Set([0, ...[...meters, ...markers, ...alone].map(({ tick }) => tick)])]
    .filter((tick) => tick < end)
    .sort((a, b) => a - b);

  const stretches: TempoStretch[] = [];
  const leftOut: string[] = [];
  let worst = 0;
  let bar = 1;
  for (let index = 0; index < starts.length; ) {
    const from = starts[index] as number;
    const { upper, lower } = meterAt(from);
    const length = barAt(from);
    // The next start that stands on a bar line of this metre; a new metre ends the stretch wherever it stands.
    let next = index + 1;
    for (; next < starts.length; next++) {
      const tick = starts[next] as number;
      if ((tick - from) % length === 0 || meters.some((one) => one.tick === tick)) break;
      leftOut.push(
        `Left out: what starts inside bar ${bar + Math.floor((tick - from) / length)}, off its bar line.`,
      );
    }
    const to = starts[next] ?? end;
    const bars = Math.ceil((to - from) / length);
    if ((to - from) % length !== 0)
      leftOut.push(`Bar ${bar + bars - 1} is not whole in the file; it was filled up.`);
    const changes = tempos.filter(({ tick }) => tick > from && tick < to);
    const first = tempos.findLast(({ tick }) => tick <= from)?.microseconds ?? DEFAULT_TEMPO;
    const edges = [{ tick: from, microseconds: first }, ...changes];
    const pieces = edges
      .map(({ tick, microseconds }, at) => ({
        from: tick - from,
        to: (edges[at + 1]?.tick ?? to) - from,
        microseconds,
      }))
      .filter((piece) => piece.to > piece.from);
    const { tempo, error } = fitted(pieces, ppq);
    const bounds = typeof tempo === "number" ? [tempo] : [tempo.from, tempo.to];
    if (bounds.some((one) => one < 20 || one > 400)) {
      return {
        problem: `At bar ${bar} the tempo is ${bounds.join(" to ")}; a routine has 20 to 400 quarters a minute.`,
      };
    }
    worst = Math.max(worst, error);
    stretches.push({
      name: markers.find(({ tick }) => tick === from)?.text ?? null,
      bars,
      meter: `${upper}/${lower}`,
      tempo,
    });
    bar += bars;
    index = next;
  }
  return { stretches, error: worst, leftOut };
}
