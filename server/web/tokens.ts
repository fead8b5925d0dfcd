/**
 * Links and bearers. A link holds a one-time token of 256 bits, good for 60 seconds, that the page exchanges for a
 * bearer of its own, also of 256 bits. Of both only SHA-256 hashes are kept here, and compared in constant time.
 */
import { createHash, randomBytes, timingSafeEqual } from "node:crypto";
import { chmod, mkdir, readFile, rename, writeFile } from "node:fs/promises";
import { homedir } from "node:os";
import { join } from "node:path";
import { z } from "zod";

/** Milliseconds. */
const LINK_LIFE = 60_000;
/** Pages and browsers that may be known at once; the oldest is forgotten first. */
const MOST_BEARERS = 64;
const MOST_LINKS = 16;

const Kept = z.strictObject({ version: z.literal(1), bearers: z.array(z.string().regex(/^[0-9a-f]{64}$/)) });

export interface Tokens {
  /** A fresh one-time token for `/#t=…`. */
  link(): string;
  /** A bearer for a token that is good; null for one that is unknown, used or too old. */
  exchange(token: string): Promise<string | null>;
  knows(bearer: string): boolean;
  /** Forgets a bearer: that page must be let in again. */
  forget(bearer: string): Promise<void>;
}

export interface TokenOptions {
  /** Where the hashes are kept, so that a bookmark works after a restart; null keeps them in memory only. */
  readonly settings: string | null;
  /** Milliseconds of a clock that never jumps. */
  readonly now?: () => number;
  readonly random?: (bytes: number) => Buffer<ArrayBuffer>;
}

/** The program's own folder of settings, by the custom of each system (XDG Base Directory on Linux). */
export function settingsFolder(
  env: Readonly<Record<string, string | undefined>> = process.env,
  platform: string = process.platform,
): string {
  if (platform === "win32") return join(env.APPDATA ?? join(homedir(), "AppData", "Roaming"), "countercut");
  if (platform === "darwin") return join(homedir(), "Library", "Application Support", "countercut");
  return join(env.XDG_CONFIG_HOME ?? join(homedir(), ".config"), "countercut");
}

const hash = (secret: string): Buffer<ArrayBuffer> => createHash("sha256").update(secret).digest();

/** Looks at every hash, so that the time taken tells nothing. */
function indexOf(hashes: readonly Buffer[], secret: string): number {
  const wanted = hash(secret);
  let found = -1;
  for (const [index, each] of hashes.entries()) if (timingSafeEqual(each, wanted)) found = index;
  return found;
}

/** Settings that cannot be read count as none; those that cannot be written are kept in memory. */
export async function openTokens(options: TokenOptions): Promise<Tokens> {
  const { settings, now = () => performance.now(), random = randomBytes } = options;
  const secret = (): string => random(32).toString("base64url");
  const file = settings === null ? null : join(settings, "bearers.json");
  let bearers: Buffer[] = (file === null ? [] : await readBearers(file)).map((hex) =>
    Buffer.from(hex, "hex"),
  );
  let links: { readonly hash: Buffer; readonly until: number }[] = [];
  let turn: Promise<void> = Promise.resolve();

  const keep = (): Promise<void> => {
    if (file === null || settings === null) return Promise.resolve();
    turn = turn.then(() => writeBearers(settings, file, bearers).catch(() => undefined));
    return turn;
  };

  return {
    link() {
      const token = secret();
      links = [...links.slice(1 - MOST_LINKS), { hash: hash(token), until: now() + LINK_LIFE }];
      return token;
    },
    async exchange(token) {
      links = links.filter(({ until }) => now() < until);
      const index = indexOf(
        links.map((link) => link.hash),
        token,
      );
      if (index === -1) return null;
      links = links.toSpliced(index, 1);
      const bearer = secret();
      bearers = [...bearers.slice(1 - MOST_BEARERS), hash(bearer)];
      await keep();
      return bearer;
    },
    knows: (bearer) => indexOf(bearers, bearer) !== -1,
    async forget(bearer) {
      const index = indexOf(bearers, bearer);
      if (index !== -1) bearers = bearers.toSpliced(index, 1);
      await keep();
    },
  };
}

async function readBearers(file: string): Promise<readonly string[]> {
  try {
    return Kept.parse(JSON.parse(await readFile(file, "utf8"))).bearers.slice(-MOST_BEARERS);
  } catch {
    return [];
  }
}

async function writeBearers(settings: string, file: string, bearers: readonly Buffer[]): Promise<void> {
  await mkdir(settings, { recursive: true, mode: 0o700 });
  const temporary = `${file}.${process.pid}.part`;
  const kept: z.infer<typeof Kept> = { version: 1, bearers: bearers.map((each) => each.toString("hex")) };
  await writeFile(temporary, JSON.stringify(kept), { mode: 0o600 });
  await chmod(temporary, 0o600);
  await rename(temporary, file);
}
