/**
 * The sound socket, in a thread of its own: what comes goes straight on to the audio thread, and what was heard straight
 * back to the server, so that a page that is busy drawing keeps no sound waiting. The page gets the words, and of each
 * block its head.
 */
import { CHANNELS, SAMPLE_RATE } from "../../schemas/sound.ts";
import { type BlockHead, channelOf, HEAD_BYTES, LAST, readHead } from "../../schemas/soundBlock.ts";
import type { FromFeed, ToFeed } from "./feedMessages.ts";
import type { FromWorklet, ToWorklet } from "./workletMessages.ts";

/** Frames that are held back at the start, so that the audio thread has some in hand while all is still cold: 160 ms. */
const START_WITH = 0.16 * SAMPLE_RATE;
/**
 * Milliseconds in which heads are gathered: a change brings two dozen blocks, and the page is to draw it meanwhile. They
 * are there before they are due, since a change begins 30 ms after what was heard.
 */
const GATHER = 10;
/** Milliseconds between two words to the server of what was heard. */
const TELL_EVERY = 40;

let audio: MessagePort | null = null;
let socket: WebSocket | null = null;
let play = 0;
let after = 0;
let held: ArrayBuffer[] | null = null;
let heldFrames = 0;
let told = 0;
let heads: BlockHead[] = [];
let telling: ReturnType<typeof setTimeout> | undefined;

const page = self as unknown as {
  postMessage(message: FromFeed): void;
  onmessage: (event: MessageEvent<ToFeed>) => void;
};
const toAudio = (message: ToWorklet, transfer: Transferable[] = []): void =>
  audio?.postMessage(message, transfer);

page.onmessage = ({ data }) => {
  switch (data.type) {
    case "audio":
      audio = data.port;
      audio.onmessage = ({ data: said }: MessageEvent<FromWorklet>) => heard(said);
      break;
    case "connect":
      connect(data.url, data.protocol, data.hello);
      break;
    case "say":
      say(data.text);
      break;
    case "play":
      ({ play, after } = data);
      held = [];
      heldFrames = 0;
      break;
  }
};

function say(text: string): void {
  if (socket?.readyState === WebSocket.OPEN) socket.send(text);
}

function connect(url: string, protocol: string, hello: string): void {
  const opening = new WebSocket(url, protocol);
  socket = opening;
  opening.binaryType = "arraybuffer";
  opening.onopen = () => opening.send(hello);
  opening.onmessage = ({ data }) => {
    if (data instanceof ArrayBuffer) take(data);
    else page.postMessage({ type: "text", text: String(data) });
  };
  opening.onclose = () => {
    if (socket === opening) page.postMessage({ type: "closed" });
  };
}

function take(bytes: ArrayBuffer): void {
  const head = readHead(new DataView(bytes));
  if (head === null || head.play !== play || bytes.byteLength <= HEAD_BYTES) return;
  heads.push(head);
  telling ??= setTimeout(tellHeads, GATHER);
  if (held === null) {
    give(bytes);
    return;
  }
  held.push(bytes);
  heldFrames += head.frames;
  if (heldFrames < START_WITH && (head.flags & LAST) === 0) return;
  toAudio({ type: "play", play, after });
  for (const one of held) give(one);
  held = null;
  tellHeads();
  page.postMessage({ type: "begun", play });
}

function tellHeads(): void {
  clearTimeout(telling);
  telling = undefined;
  page.postMessage({ type: "heads", heads });
  heads = [];
}

function give(bytes: ArrayBuffer): void {
  const { take, first, frames, flags } = readHead(new DataView(bytes))!;
  const channels = CHANNELS.map((_, index) => channelOf(bytes, frames, index));
  const block = { take, first, frames, last: (flags & LAST) !== 0, channels };
  toAudio({ type: "block", play, block }, [bytes]);
}

function heard({ type, play: of, frame, underruns }: FromWorklet): void {
  const now = performance.now();
  if (type !== "at" || of !== play || now - told < TELL_EVERY) return;
  told = now;
  say(JSON.stringify({ type: "heard", play, frames: frame, underruns }));
}
