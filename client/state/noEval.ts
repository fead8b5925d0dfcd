/**
 * Our Content-Security-Policy forbids code made from text, which zod would try for speed as soon as the first schema is
 * made, at the cost of a fiftieth of a second. So its settings, which it looks for here, are there before it is.
 */
(globalThis as { __zod_globalConfig?: { jitless: boolean } }).__zod_globalConfig = { jitless: true };
