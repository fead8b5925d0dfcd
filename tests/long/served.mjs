// A server for the load: node served.mjs FOLDER. More sockets than a user may open; prints its port and a bearer.
import { openFolder } from "../../dist/server/store/folder.js";
import { LIMITS } from "../../dist/server/web/limits.js";
import { serve } from "../../dist/server/web/serve.js";
import { openTokens } from "../../dist/server/web/tokens.js";

const tokens = await openTokens({ settings: null });
const bearer = await tokens.exchange(tokens.link());
const limits = { ...LIMITS, sockets: 600, unauthenticated: 600 };
const { port } = await serve({
  folder: await openFolder(process.argv[2]),
  tokens,
  port: 0,
  limits,
  pages: [],
});
console.log(JSON.stringify({ port, bearer }));
