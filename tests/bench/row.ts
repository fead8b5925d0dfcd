/** A line of the table that `npm run bench` prints. */
export interface BenchRow {
  what: string;
  figure: string;
  /** The peer or the limit, measured in the same run. */
  against: string;
  ratio: string;
  goal: string;
}
