/** Times, sizes and free names in words. */

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;

const clock = new Intl.DateTimeFormat("en-GB", { hour: "2-digit", minute: "2-digit" });
const date = new Intl.DateTimeFormat("en-GB", { day: "numeric", month: "long", year: "numeric" });

export const dayWords = (at: number): string => date.format(at);
export const clockWords = (at: number): string => clock.format(at);

/** How long ago, roughly; from a day on the date. @param at @param now milliseconds since 1970 */
export function agoWords(at: number, now: number): string {
  const passed = now - at;
  if (passed < MINUTE) return "changed just now";
  if (passed < HOUR) return `changed ${count(Math.floor(passed / MINUTE), "minute")} ago`;
  if (passed < DAY) return `changed ${count(Math.floor(passed / HOUR), "hour")} ago`;
  return `changed ${dayWords(at)}`;
}

const count = (number: number, what: string): string => `${number} ${what}${number === 1 ? "" : "s"}`;

/** In kilobytes and megabytes of a thousand each (IEC 80000-13). */
export const sizeWords = (bytes: number): string =>
  bytes < 1_000
    ? count(bytes, "byte")
    : bytes < 999_500
      ? `${Math.round(bytes / 1_000)} kB`
      : `${(bytes / 1_000_000).toFixed(1)} MB`;

/** `name`, or with the first number that no other has; case does not tell names apart. */
export function freeName(name: string, taken: readonly string[]): string {
  const known = new Set(taken.map((one) => one.toLowerCase()));
  let free = name;
  for (let number = 2; known.has(free.toLowerCase()); number++) free = `${name} ${number}`;
  return free;
}
