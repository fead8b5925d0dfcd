/** Onsets on a cycle of pulses: from 0 to below `pulses` (or so many after a first), ascending, none twice. */
export interface Rhythm {
  readonly pulses: number;
  readonly onsets: readonly number[];
}
