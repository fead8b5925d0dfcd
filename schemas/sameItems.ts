/** Whether two lists hold the same values in the same order; one zero is not the other, so that bits are told apart. */
export const sameItems = (a: readonly unknown[], b: readonly unknown[]): boolean =>
  a === b || (a.length === b.length && a.every((value, index) => Object.is(value, b[index])));
