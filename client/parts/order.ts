/** Lists whose order the user chooses. */

/**
 * Before which other one something has to stand to be one place further on, or back.
 * @returns its id; null: at the end; undefined: it is at that end already, or not there
 */
export function beforeWhich(
  list: readonly { readonly id: string }[],
  id: string,
  by: 1 | -1,
): string | null | undefined {
  const at = list.findIndex((one) => one.id === id);
  if (at < 0 || at + by < 0 || at + by >= list.length) return undefined;
  return list[by === -1 ? at - 1 : at + 2]?.id ?? null;
}
