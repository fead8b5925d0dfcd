// Runs a TypeScript file of the tests as a program: node tests/run.mjs tests/bench/all.ts [words…].
// Node 20 does not run TypeScript by itself; the bundler that builds the client does.
import { resolve } from "node:path";
import { createServer } from "vite";

const [file, ...words] = process.argv.slice(2);
const server = await createServer({
  configFile: false,
  logLevel: "error",
  appType: "custom",
  server: { middlewareMode: true, hmr: false, ws: false, watch: null },
  optimizeDeps: { noDiscovery: true },
});
const { main } = await server.ssrLoadModule(resolve(file));
process.exitCode = (await main(words)) ?? 0;
await server.close();
