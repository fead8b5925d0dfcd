import { fileURLToPath } from "node:url";
import { defineConfig } from "vite";

const here = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

export default defineConfig({
  root: here("."),
  // Our Content-Security-Policy lets no data: address through, so nothing is inlined.
  build: {
    outDir: here("../dist/client"),
    emptyOutDir: true,
    assetsInlineLimit: 0,
    target: "es2022",
    modulePreload: { polyfill: false },
  },
  worker: { format: "es" },
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
});
