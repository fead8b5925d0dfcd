/** Puts the server together: folder, gate, pages, sockets. Ends gracefully. */
import type { AddressInfo } from "node:net";
import type { Jobs } from "../jobs/jobs.ts";
import type { ClipWork } from "../jobs/clips.ts";
import { createClipWork } from "../jobs/clipWorkers.ts";
import { createJobs } from "../jobs/jobWorkers.ts";
import { FolderKeeper } from "../clips-folder/keeper.ts";
import { ClipStore } from "../live/clipStore.ts";
import { Listener } from "../live/listener.ts";
import { Live } from "../live/live.ts";
import { takeObjectsForShortLived } from "../live/shortLived.ts";
import type { OpenRoutine } from "../live/openRoutine.ts";
import { SoundBank } from "../live/soundBank.ts";
import { warmUp } from "../live/warmUp.ts";
import { createHeard, type Heard } from "../sound/heardWorkers.ts";
import { type RenderWav, renderWav as inThread } from "../sound/renderWorkers.ts";
import { disk } from "../store/disk.ts";
import { randomIds, realClock } from "../store/folder.ts";
import type { Folder } from "../store/interfaces.ts";
import { createApp, type Parts, routesOf } from "./app.ts";
import { attachDoor } from "./door.ts";
import { createGate } from "./gate.ts";
import type { Gate, Limits } from "./interfaces.ts";
import { LIMITS } from "./limits.ts";
import { type PageFile, readPages } from "./pages.ts";
import { createGuardedServer } from "./server.ts";
import type { Tokens } from "./tokens.ts";

export interface Running {
  readonly port: number;
  /** "http://127.0.0.1:PORT". */
  readonly address: string;
  readonly live: Live;
  /** A fresh link with a one-time token. */
  link(): string;
  /** Leaves every routine fresh on disk. */
  close(): Promise<void>;
}

export interface ServeOptions {
  readonly folder: Folder;
  readonly tokens: Tokens;
  /** 0: any that is free. */
  readonly port: number;
  readonly limits?: Limits;
  readonly pages?: readonly PageFile[];
  readonly bank?: SoundBank;
  readonly renderWav?: RenderWav;
  readonly heard?: Heard;
  readonly jobs?: Jobs;
  readonly clipWork?: ClipWork;
}

/** Milliseconds in which a page that opens a routine gets its first picture. */
const FIRST_PICTURE = 1_500;

/** Milliseconds between two pieces of what is done for nobody. */
const BREATH = 10;
const breathe = (milliseconds = BREATH): Promise<void> =>
  new Promise((goOn) => void setTimeout(goOn, milliseconds).unref());

/** @throws what listening throws: EADDRINUSE where the port is taken */
export async function serve({ folder, tokens, port: wanted, ...rest }: ServeOptions): Promise<Running> {
  const {
    limits = LIMITS,
    bank = new SoundBank(),
    renderWav = inThread,
    heard = createHeard(),
    jobs = createJobs(),
    clipWork = createClipWork(),
  } = rest;
  takeObjectsForShortLived();
  const pages = rest.pages ?? (await readPages());
  let port = wanted;
  let gate: Gate | null = null;
  const address = (): string => `http://127.0.0.1:${port}`;
  const link = (): string => `${address()}/#t=${tokens.link()}`;
  // Drums are made ready before the first play, but after the page had what it draws first; samples when they are seen
  // or heard first, for they take much room.
  let warm = false;
  const opened = (routine: OpenRoutine): void => {
    const prepare = async (): Promise<void> => {
      const { sound, errors } = routine.present.worked;
      const drums = bank.prepareDrums(sound);
      if (warm || errors.length > 0) return;
      warm = true;
      await drums;
      await warmUp(sound, bank.kit, breathe);
    };
    setTimeout(() => void prepare().catch((bug: unknown) => console.error(bug)), FIRST_PICTURE).unref();
    void keeper.opened(routine);
  };
  const live = new Live(folder, realClock, link, { opened, jobs });
  const clips = new ClipStore(clipWork);
  const files = { fs: disk, ids: randomIds };
  const keeper = new FolderKeeper({ routines: folder.path, ...files, clock: realClock, store: clips });
  live.onGone((name) => keeper.gone(name));
  const parts: Parts = {
    live,
    bank,
    renderWav,
    heard,
    jobs,
    clips,
    keeper,
    disk: files,
    pages,
    tokens,
    limits,
  };
  const theGate = (): Gate => {
    if (gate === null) throw new Error("a request came before the gate stood");
    return gate;
  };
  const server = createGuardedServer(limits, () => port, createApp(parts, theGate));
  await new Promise<void>((resolve, reject) => {
    server.once("error", reject);
    server.listen({ port: wanted, host: "127.0.0.1" }, resolve);
  });
  port = (server.address() as AddressInfo).port;
  gate = createGate({ port, routes: routesOf(parts), tokens, limits });
  const door = attachDoor(
    server,
    () => port,
    gate,
    limits,
    (connection) => {
      if (connection.path === "/sound") new Listener(live, bank, clips, connection);
      else live.onClient(connection);
    },
  );
  folder.announce(address());
  return {
    port,
    address: address(),
    live,
    link,
    async close() {
      door.close();
      keeper.close();
      const closed = new Promise((resolve) => server.close(resolve));
      server.closeAllConnections();
      bank.end();
      await live.close();
      await closed;
      clipWork.close();
    },
  };
}
