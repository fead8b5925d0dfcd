import { fileURLToPath } from "node:url";
import { defineConfig, type Plugin } from "vite";

const here = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

/** Has the page fetch what start.ts imports later, while start.ts itself is fetched. */
const preloadMain: Plugin = {
  name: "preload-main",
  transformIndexHtml: {
    order: "post",
    handler(html, { bundle = {} }) {
      const main = Object.values(bundle).find(
        (chunk) => chunk.type === "chunk" && chunk.facadeModuleId === here("main.tsx"),
      );
      if (main?.type !== "chunk") return [];
      const wanted = new Set([main.fileName]);
      // A set grows while it is gone through: what is imported by what is imported comes too.
      for (const file of wanted) {
        const chunk = bundle[file];
        if (chunk?.type === "chunk") for (const next of chunk.imports) wanted.add(next);
      }
      const fetched = [...wanted].filter((file) => !html.includes(file));
      return fetched.map((file) => ({
        tag: "link",
        attrs: { rel: "modulepreload", href: `/${file}` },
        injectTo: "head" as const,
      }));
    },
  },
};

export default defineConfig({
  root: here("."),
  plugins: [preloadMain],
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
