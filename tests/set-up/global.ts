import { ensureDebianTools } from "./debian.ts";

/** Runs once, before all tests. */
export default function setUp(): void {
  ensureDebianTools();
}
