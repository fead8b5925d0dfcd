// The limit that the load is held against: node bare.mjs FOLDER. Sockets, a line a write with a flush, and the telling
// of all pages, with nothing worked out between. Speaks as much of the protocol as a page of the load looks at.
import { open } from "node:fs/promises";
import { WebSocketServer } from "ws";

/** About what an edit of the load tells of a routine. */
const TOLD = "x".repeat(6_000);
const rooms = new Map();

async function roomOf(name) {
  let room = rooms.get(name);
  if (room === undefined) {
    room = {
      rev: 0,
      pages: new Set(),
      waiting: [],
      flushing: false,
      file: open(`${process.argv[2]}/${name}.bare`, "a"),
    };
    rooms.set(name, room);
  }
  return room;
}

async function flush(room) {
  room.flushing = true;
  const file = await room.file;
  while (room.waiting.length > 0) {
    const group = room.waiting.splice(0);
    await file.write(`${JSON.stringify(group.map(({ edit }) => edit))}\n`);
    await file.datasync();
    for (const { page, edit } of group) {
      const from = room.rev++;
      const told = `{"type":"changed","name":"","epoch":"","from":${from},"rev":${room.rev},"told":"${TOLD}"}`;
      for (const one of room.pages) one.send(told);
      page.send(JSON.stringify({ type: "ack", opId: edit.opId, rev: room.rev }));
    }
  }
  room.flushing = false;
}

const server = new WebSocketServer({ port: 0, host: "127.0.0.1", perMessageDeflate: false });
server.on("connection", (page) => {
  page.on("message", async (data) => {
    const message = JSON.parse(String(data));
    if (message.type === "hello") return;
    const room = await roomOf(message.name);
    if (message.type === "open") {
      room.pages.add(page);
      page.on("close", () => room.pages.delete(page));
      page.send(JSON.stringify({ type: "routine", rev: room.rev }));
    } else {
      room.waiting.push({ page, edit: message });
      if (!room.flushing) void flush(room);
    }
  });
});
server.on("listening", () => console.log(JSON.stringify({ port: server.address().port, bearer: "" })));
