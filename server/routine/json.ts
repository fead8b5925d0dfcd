/**
 * Finds where a text stops being JSON (RFC 8259), and fields that stand twice in one object: JSON.parse says the
 * first without a line and drops the second silently.
 */

export interface JsonFault {
  readonly kind: "not-json" | "twice";
  /** Characters from the start of the text. */
  readonly offset: number;
  /** For `twice`: the path to the field. */
  readonly path: readonly (string | number)[];
}

// biome-ignore lint/suspicious/noControlCharactersInRegex: RFC 8259 forbids just these in a string
const STRING = /"(?:[^"\\\u0000-\u001f]|\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4}))*"/y;
/** As much of a string as is right. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: as above
const BEGUN = /"(?:[^"\\\u0000-\u001f]|\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4}))*/y;
const SCALAR = /-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?|true|false|null/y;

interface Level {
  readonly keys: Set<string> | null;
  key: string | number;
}

const isSpace = (code: number): boolean => code === 32 || code === 10 || code === 13 || code === 9;

/** The first fault, or null. Goes through the text once, without recursion, so that depth is no danger. */
export function findJsonFault(text: string): JsonFault | null {
  let at = 0;
  const levels: Level[] = [];
  const match = (pattern: RegExp): string | null => {
    pattern.lastIndex = at;
    const found = pattern.exec(text);
    if (found === null) return null;
    at = pattern.lastIndex;
    return found[0];
  };
  // By hand, since nearly all of a file is space and plain strings: a pattern for each takes three times as long.
  const space = (): void => {
    while (isSpace(text.charCodeAt(at))) at++;
  };
  const string = (): string | null => {
    if (text[at] !== '"') return null;
    for (let end = at + 1; ; end++) {
      const code = text.charCodeAt(end);
      if (code === 34) {
        const found = text.slice(at, end + 1);
        at = end + 1;
        return found;
      }
      // An escape, a character that may not stand here, or the end of the text.
      if (code === 92 || !(code >= 32)) return match(STRING);
    }
  };
  const fault = (kind: JsonFault["kind"], offset = wrong()): JsonFault => ({
    kind,
    offset,
    path: levels.map(({ key }) => key),
  });
  /** Where it goes wrong: here, or within the string that begins here. */
  const wrong = (): number => {
    BEGUN.lastIndex = at;
    return BEGUN.test(text) && text[BEGUN.lastIndex] !== '"' ? BEGUN.lastIndex : at;
  };
  let twice: JsonFault | null = null;

  /** Reads `"name":` and notes a twin. */
  const field = (): boolean => {
    const level = levels[levels.length - 1] as Level;
    const start = at;
    const quoted = string();
    if (quoted === null) return false;
    level.key = JSON.parse(quoted) as string;
    if (level.keys?.has(level.key)) twice ??= fault("twice", start);
    level.keys?.add(level.key);
    space();
    if (text[at] !== ":") return false;
    at++;
    return true;
  };

  for (;;) {
    space();
    let closed = false;
    if (text[at] === "{") {
      at++;
      levels.push({ keys: new Set(), key: "" });
      space();
      if (text[at] === "}") closed = true;
      else if (field()) continue;
      else return fault("not-json");
    } else if (text[at] === "[") {
      at++;
      levels.push({ keys: null, key: 0 });
      space();
      if (text[at] !== "]") continue;
      closed = true;
    } else if (string() === null && match(SCALAR) === null) return fault("not-json");

    // A value is complete: close what ends here, or go on to the next.
    for (;;) {
      if (!closed) space();
      const level = levels[levels.length - 1];
      if (level === undefined) {
        space();
        return at < text.length ? fault("not-json") : twice;
      }
      const character = text[at];
      if (character === (level.keys === null ? "]" : "}")) {
        at++;
        levels.pop();
        closed = false;
        continue;
      }
      if (character !== ",") return fault("not-json");
      at++;
      space();
      if (level.keys === null) level.key = (level.key as number) + 1;
      else if (!field()) return fault("not-json");
      break;
    }
  }
}

/** Line and column, both from 1. */
export function lineAndColumn(text: string, offset: number): { line: number; column: number } {
  const before = text.slice(0, offset).split("\n");
  return { line: before.length, column: (before[before.length - 1] as string).length + 1 };
}
