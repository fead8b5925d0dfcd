/** What things of a routine are called in sentences to people. */

/** By its name, by its id where it has none. */
export const called = ({ id, name }: { readonly id: string; readonly name?: string | undefined }): string =>
  name === undefined || name === "" ? id : name;

/** @param bar of its section, from 1; 0 and below are those before it */
export const barWords = (bar: number): string => (bar > 0 ? `bar ${bar}` : `pickup bar ${bar}`);

/** "1 step", "3/2 steps". @param count a number, or one as text */
export const plural = (count: number | string, one: string): string =>
  `${count} ${one}${String(count) === "1" ? "" : "s"}`;
