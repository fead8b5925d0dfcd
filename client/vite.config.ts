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
      const imported = main.imports.filter((file) => !html.includes(file));
      return [main.fileName, ...imported].map((file) => ({
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
