/** Which section or pattern an option means: an id, or else a name that only one of them has. */
import { UsageError } from "./command.ts";

interface Named {
  readonly id: string;
  readonly name?: string | undefined;
}

const called = ({ id, name }: Named): string => (name === undefined ? id : `${id} (${name})`);
const listed = (all: readonly Named[]): string => all.map(called).join(", ") || "none";

/**
 * @param what "section", "pattern": also the name of the option
 * @param given what stands after the option; a name in either case
 * @throws UsageError that lists what there is
 */
export function theNamed<One extends Named>(
  what: string,
  all: readonly One[],
  given: string | boolean | undefined,
): One {
  if (typeof given !== "string")
    throw new UsageError(`--${what} takes the id or the name of a ${what}; there are ${listed(all)}.`);
  const byId = all.find(({ id }) => id === given);
  if (byId !== undefined) return byId;
  const byName = all.filter(({ name }) => name?.toLowerCase() === given.toLowerCase());
  const [one, ...more] = byName;
  if (one === undefined) throw new UsageError(`There is no ${what} "${given}"; there are ${listed(all)}.`);
  if (more.length > 0)
    throw new UsageError(`More than one ${what} is called "${given}": say which, ${listed(byName)}.`);
  return one;
}
