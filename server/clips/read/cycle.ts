/** Moves or cells in order as the shortest cycle that goes on to give them, on the widest step that fits. */
import { gcdOf, parseFraction } from "../../time/fraction.ts";

interface Lasting {
  readonly length?: number;
  readonly travel?: number | undefined;
}

/** @param step of the lengths, part of a whole note as text; a length that is left out is one */
export function cycleOf<Part extends Lasting>(
  parts: readonly Part[],
  step: string,
): { readonly step: string; readonly parts: Part[] } {
  const shortest = repeated(parts);
  const common = shortest.reduce((sum, { length = 1 }) => gcdOf(sum, length), 0);
  const { n, d } = parseFraction(step);
  // One part of a whole note, as steps are usually said: lengths of three sixteenths stay so.
  let times = common;
  while (times > 1 && (common % times !== 0 || Number(d) % (Number(n) * times) !== 0)) times--;
  return {
    step: times === 1 ? step : `1/${Number(d) / (Number(n) * times)}`,
    parts: shortest.map(({ length = 1, ...rest }) => {
      const own = length / times;
      return (own === 1 ? rest : { ...rest, length: own }) as Part;
    }),
  };
}

/** The first round, where what follows is it again; the last round may be cut short. */
function repeated<Part extends Lasting>(parts: readonly Part[]): readonly Part[] {
  const texts = parts.map((part) => JSON.stringify(part));
  for (let count = 1; count < parts.length; count++) {
    if (
      texts.every(
        (text, index) => text === texts[index % count] || (index === parts.length - 1 && isCut(index, count)),
      )
    )
      return parts.slice(0, count);
  }
  return parts;

  /** The last may be the start of what stands there; how far it would have gone, nothing says. */
  function isCut(index: number, count: number): boolean {
    const { length = 1, travel: _, ...rest } = parts[index] as Lasting;
    const { length: full = 1, travel: __, ...model } = parts[index % count] as Lasting;
    return index >= count && length <= full && JSON.stringify(rest) === JSON.stringify(model);
  }
}
