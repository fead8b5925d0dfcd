import { defineConfig } from "vitest/config";

const BROWSER = "tests/browser/**/*.test.ts";
const shared = {
  root: new URL("..", import.meta.url).pathname,
  testTimeout: 60_000,
  hookTimeout: 180_000,
};

export default defineConfig({
  test: {
    root: shared.root,
    globalSetup: "tests/set-up/global.ts",
    reporters: ["default", "./tests/set-up/plainSummary.ts"],
    projects: [
      {
        test: {
          ...shared,
          name: "rooms",
          include: ["tests/**/*.test.ts"],
          exclude: [BROWSER],
          maxWorkers: 2,
          sequence: { groupOrder: 0 },
        },
      },
      {
        test: {
          ...shared,
          name: "browser",
          include: [BROWSER],
          // One file at a time: the browser, the server behind it and the sound would starve each other.
          maxWorkers: 1,
          sequence: { groupOrder: 1 },
        },
      },
    ],
  },
});
