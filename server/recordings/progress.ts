/** How much of long work is done, told as it goes on: 0 to 1. */
export type Progress = (done: number) => void;

export const untold: Progress = () => {};

/** The progress of a part of the work, which takes the whole from one share to another. */
export const shareOf =
  (progress: Progress, from: number, to: number): Progress =>
  (done) =>
    progress(from + done * (to - from));
