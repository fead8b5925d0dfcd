// A server for the load: node served.mjs FOLDER. More sockets than a user may open; prints its port and a bearer.
// As the command does, before the rest is loaded.
const { openFolder } = await import("../../dist/server/store/folder.js");
const { SoundBank } = await import("../../dist/server/live/soundBank.js");
const { LIMITS } = await import("../../dist/server/web/limits.js");
const { serve } = await import("../../dist/server/web/serve.js");
const { openTokens } = await import("../../dist/server/web/tokens.js");

const tokens = await openTokens({ settings: null });
const bearer = await tokens.exchange(tokens.link());
const limits = { ...LIMITS, sockets: 600, unauthenticated: 600 };
const bank = new SoundBank();
const { port, live } = await serve({
  folder: await openFolder(process.argv[2]),
  tokens,
  port: 0,
  limits,
  bank,
  pages: [],
});
// Drums are prepared in threads a while after a routine is opened for the first time: that is no part of the load.
for (const { name } of await live.list()) await live.open(name);
const rest = (milliseconds) => new Promise((resolve) => setTimeout(resolve, milliseconds));
await rest(2_000);
await bank.settled();
// Then the program warms up, which takes some ten seconds where nobody edits.
await rest(10_000);
console.log(JSON.stringify({ port, bearer }));
