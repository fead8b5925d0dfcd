/** Ends a run with one plain line, "N passed, N failed, N skipped", for those who read runs by machine. */
import type { Reporter, TestModule } from "vitest/node";

export default class PlainSummary implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    const counts = { passed: 0, failed: 0, skipped: 0, pending: 0 };
    for (const module of modules) {
      for (const test of module.children.allTests()) counts[test.result().state]++;
      // A file that could not be loaded, or what stands before or after its tests, has no failed test, and is no success.
      const failed = [...module.children.allTests()].some((test) => test.result().state === "failed");
      if (!module.ok() && !failed) counts.failed++;
    }
    process.on("exit", () => {
      console.log(
        `${counts.passed} passed, ${counts.failed} failed, ${counts.skipped + counts.pending} skipped`,
      );
    });
  }
}
