import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    root: new URL("..", import.meta.url).pathname,
    include: ["tests/**/*.test.ts"],
    globalSetup: "tests/set-up/global.ts",
    reporters: ["default", "./tests/set-up/plainSummary.ts"],
    testTimeout: 60_000,
    hookTimeout: 180_000,
    // One file at a time: the browser, the server behind it and the sound would starve each other.
    maxWorkers: 1,
  },
});
