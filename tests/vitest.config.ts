import { defineConfig } from "vitest/config";

const BROWSER = "tests/browser/**/*.test.ts";
/** What is played in time, which other work beside it would starve. */
const IN_TIME = "tests/browser/{sound,rehearse,recordings,find}.test.ts";
const shared = {
  root: new URL("..", import.meta.url).pathname,
  // As long as it takes, where a law is run more often than usual.
  testTimeout: process.env.COUNTERCUT_RUNS === undefined ? 60_000 : 0,
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
          // They load the program once for all, which saves a third of the time, and leave nothing behind.
          isolate: false,
          maxWorkers: 2,
          sequence: { groupOrder: 0 },
        },
      },
      {
        test: {
          ...shared,
          name: "browser",
          include: [BROWSER],
          exclude: [IN_TIME],
          maxWorkers: 2,
          sequence: { groupOrder: 1 },
        },
      },
      {
        test: {
          ...shared,
          name: "in time",
          include: [IN_TIME],
          maxWorkers: 1,
          sequence: { groupOrder: 2 },
        },
      },
    ],
  },
});
