/** Ends a run with one plain line, "N passed, N failed, N skipped", for those who read runs by machine. */
import type { Reporter, TestModule } from "vitest/node";

export default class PlainSummary implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    const counts = { passed: 0, failed: 0, skipped: 0, pending: 0 };
    for (const module of modules) {
      for (const test of module.children.allTests()) counts[test.result().state]++;
      // A file that could not be loaded has no tests to count, and is no success.
      if (!module.ok() && module.children.allTests().next().done) counts.failed++;
    }
    process.on("exit", () => {
      console.log(
        `${counts.passed} passed, ${counts.failed} failed, ${counts.skipped + counts.pending} skipped`,
      );
    });
  }
}
