import { fileURLToPath } from "node:url";
import { defineConfig, type Plugin } from "vite";

const here = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

/** What start.ts needs is a chunk, and what main.tsx needs beyond it another: the fewer files, the sooner they are there. */
const groups = [
  { name: "start", test: /client\/start\.ts$/, priority: 1 },
  { name: "main", test: /client\/main\.tsx$/ },
];

/**
 * Has the page fetch what start.ts imports later while start.ts itself is fetched, and paint nothing before that has
 * run: the first thing that is painted keeps a page busy, and it is our question that the server waits for.
 */
const startFirst: Plugin = {
  name: "start-first",
  transformIndexHtml: {
    order: "post",
    handler(html, { bundle = {} }) {
      const main = Object.values(bundle).find(
        (chunk) => chunk.type === "chunk" && chunk.moduleIds.includes(here("main.tsx")),
      );
      if (main === undefined) return html;
      const link = { rel: "modulepreload", href: `/${main.fileName}` };
      const tags = [{ tag: "link", attrs: link, injectTo: "head" as const }];
      return { html: html.replace("<script async", '<script async blocking="render"'), tags };
    },
  },
};

interface Node {
  readonly type: string;
  readonly start: number;
}
/** Where the calls begin that a value is made by; what its own functions call later is not among them. */
function callsIn(node: unknown, found: Set<number>): void {
  if (typeof node !== "object" || node === null) return;
  const { type, start } = node as Partial<Node>;
  if (type === "ArrowFunctionExpression" || type === "FunctionExpression") return;
  if (type === "CallExpression" && start !== undefined) found.add(start);
  for (const part of Object.values(node)) callsIn(part, found);
}

/**
 * To make a schema has no effect beyond the schema. The bundler is told so, and leaves out those that the page does not
 * use: to make all of them would keep it from its first picture for a twentieth of a second.
 */
const schemasAreValues: Plugin = {
  name: "schemas-are-values",
  transform: {
    filter: { id: /\/schemas\/\w+\.ts$/ },
    order: "post",
    handler(code) {
      const calls = new Set<number>();
      for (const statement of this.parse(code).body) {
        const declared = statement.type === "ExportNamedDeclaration" ? statement.declaration : statement;
        if (declared?.type === "VariableDeclaration") callsIn(declared, calls);
      }
      const parts = [...calls].sort((a, b) => b - a);
      return parts.reduce((text, at) => `${text.slice(0, at)}/* @__PURE__ */ ${text.slice(at)}`, code);
    },
  },
};

export default defineConfig({
  root: here("."),
  plugins: [startFirst, schemasAreValues],
  // Our Content-Security-Policy lets no data: address through, so nothing is inlined.
  build: {
    outDir: here("../dist/client"),
    emptyOutDir: true,
    assetsInlineLimit: 0,
    target: "es2022",
    modulePreload: { polyfill: false },
    rolldownOptions: { output: { codeSplitting: { groups } } },
  },
  worker: { format: "es" },
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
});
