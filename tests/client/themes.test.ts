/** Contrast by WCAG 2.2, SC 1.4.3 and 1.4.11: 4.5 to 1 for text, 3 to 1 for shapes, not rounded up. */
import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { expect, test } from "vitest";

const css = readFileSync(resolve(import.meta.dirname, "../../client/style/tokens.css"), "utf8");

/** Tokens of the nth block of the file: dark, light, print. */
function tokens(block: number): Record<string, string> {
  const body = css.split("{").filter((part) => part.includes("--page"))[block] ?? "";
  return Object.fromEntries(
    [...body.matchAll(/--([a-z]+): (#[0-9a-f]{3,6});/g)].map((one) => [one[1], one[2]]),
  );
}

/** Relative luminance of "#rgb" or "#rrggbb". */
function luminance(hex: string): number {
  const full = hex.length === 4 ? hex.replace(/[0-9a-f]/g, "$&$&") : hex;
  const [r = 0, g = 0, b = 0] = (full.match(/[0-9a-f]{2}/g) ?? []).map((pair) => {
    const part = Number.parseInt(pair, 16) / 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(a: string, b: string): number {
  const [light = 0, dark = 0] = [luminance(a), luminance(b)].sort((x, y) => y - x);
  return (light + 0.05) / (dark + 0.05);
}

test("the contrast is that of the definition of WCAG 2.2", () => {
  // Greys and a red on white, worked out from the definition by hand; 4.478 fails 4.5.
  for (const [colour, ratio] of [
    ["#000000", 21],
    ["#767676", 4.5422],
    ["#777777", 4.4781],
    ["#ff0000", 3.9985],
  ] as const) {
    expect(contrast(colour, "#fff")).toBeCloseTo(ratio, 4);
  }
});

test.each([
  ["dark", 0],
  ["light", 1],
  ["print", 2],
])("%s: text stands out 4.5 to 1, shapes 3 to 1, on the page and on raised ground", (_, block) => {
  const token = tokens(block);
  expect(Object.keys(token).length).toBeGreaterThanOrEqual(15);
  const grounds = ["page", "raised"];
  const texts = ["text", "quiet", "here", "trouble", "warn", "good"];
  const shapes = ["forward", "back", "hand", "edge"];
  // One that is not there would count as black.
  for (const name of [...grounds, ...texts, ...shapes]) expect(token).toHaveProperty(name);
  for (const ground of grounds) {
    const faint = (names: readonly string[], least: number): string[] =>
      names.filter((name) => contrast(token[name]!, token[ground]!) < least);
    expect([ground, faint(texts, 4.5), faint(shapes, 3)]).toEqual([ground, [], []]);
  }
});
