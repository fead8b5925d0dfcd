/**
 * Edits on their way. One at a time is sent, on the revision we have; it is kept until the server has it safe, over
 * a broken connection and a reload too. One that was refused is set aside and offered, never dropped.
 */
import type { Edit } from "../../schemas/edit.ts";
import type { FromPage, FromServer } from "../../schemas/wire.ts";

export type Intent =
  | { readonly kind: "edit"; readonly edit: Edit }
  | { readonly kind: "undo" }
  | { readonly kind: "redo" }
  | { readonly kind: "restore"; readonly to: number };

export interface Waiting {
  readonly opId: string;
  readonly name: string;
  readonly intent: Intent;
  /** What it does, for the user. */
  readonly words: string;
  /** It was stale, and is made again on what came between. */
  readonly replayed?: true;
  /** The revision that it was done on, where what came before it is safe: an undo or redo means no other. */
  readonly on?: number;
}
export interface SetAside extends Waiting {
  readonly why: string;
}
export interface Outbox {
  readonly waiting: readonly Waiting[];
  /** One of `waiting` was sent, on this revision, and is not answered yet. */
  readonly sentOn: number | null;
  /** How often it was answered `stale`: three times it is tried again by itself. */
  readonly stale: number;
  readonly aside: readonly SetAside[];
}

export const EMPTY: Outbox = { waiting: [], sentOn: null, stale: 0, aside: [] };

export const queued = (box: Outbox, one: Waiting): Outbox => ({ ...box, waiting: [...box.waiting, one] });

/** The connection broke: what was sent is to be sent again, with the same opId. */
export const unsent = (box: Outbox): Outbox => ({ ...box, sentOn: null });

/**
 * Of what waits of a routine, in order: what will stand; what was taken back and can be done again, the next one last;
 * and what each undo and redo is of. Null in place of what is not among those that wait.
 */
export function lineOf<One extends { readonly intent: Intent }>(waiting: readonly One[]) {
  const done: One[] = [];
  let undone: (One | null)[] = [];
  const of = new Map<One, One | null>();
  for (const one of waiting) {
    const { kind } = one.intent;
    if (kind === "undo" || kind === "redo") {
      const other = (kind === "undo" ? done.pop() : undone.pop()) ?? null;
      of.set(one, other);
      if (kind === "undo") undone.push(other);
      else if (other !== null) done.push(other);
    } else {
      done.push(one);
      undone = [];
    }
  }
  return { done, undone, of };
}

/** Those of a routine: what waits for another one stands in nobody's way. */
export const waitingFor = ({ waiting }: Outbox, name: string | undefined): readonly Waiting[] =>
  waiting.filter((one) => one.name === name);

/** The routine is called otherwise from now on. */
export const renamed = (box: Outbox, from: string, to: string): Outbox => {
  const called = <One extends Waiting>(one: One): One => (one.name === from ? { ...one, name: to } : one);
  return { ...box, waiting: box.waiting.map(called), aside: box.aside.map(called) };
};

/** The next message to send of a routine, on a revision, if it is time for one. */
export function nextMessage(
  box: Outbox,
  base: number,
  of: string,
): { box: Outbox; message: FromPage } | null {
  const [first] = waitingFor(box, of);
  if (first === undefined || box.sentOn !== null) return null;
  const { opId, name, intent, replayed, on } = first;
  const taking = intent.kind === "undo" || intent.kind === "redo";
  const common = { name, opId, base: taking ? (on ?? base) : base };
  const message: FromPage =
    intent.kind === "edit"
      ? ({
          type: "edit",
          ...common,
          edit: intent.edit,
          ...(replayed === true ? { replayed } : {}),
        } as FromPage)
      : intent.kind === "restore"
        ? { type: "restore", ...common, to: intent.to }
        : { type: intent.kind, ...common };
  return { box: { ...box, sentOn: base }, message };
}

/** Without one that was answered; the next of its routine is done on the revision that it leaves. */
function following(waiting: readonly Waiting[], sent: Waiting, on: number | undefined): readonly Waiting[] {
  const rest = waiting.filter((one) => one !== sent);
  const next = rest.find(({ name }) => name === sent.name);
  return rest.map((one) => (one === next && on !== undefined ? { ...one, on } : one));
}

/** Sets one aside. What takes it back behind it goes with it: it would take back another. */
function notDone(box: Outbox, after: Outbox, sent: Waiting, why: string): Outbox {
  const { done, of } = lineOf(waitingFor(box, sent.name));
  const ids = new Set([...of].flatMap(([one, other]) => (other === sent ? [one.opId] : [])));
  const stands = sent.intent.kind !== "edit" || done.includes(sent);
  return {
    ...after,
    waiting: following(
      after.waiting.filter(({ opId }) => !ids.has(opId)),
      sent,
      sent.on,
    ),
    aside: stands ? [...after.aside, { ...sent, why }] : after.aside,
  };
}

/** What an answer does to the box. @param newId for an edit that is tried again */
export function answered(box: Outbox, message: FromServer, newId: () => string): Outbox {
  if (!("opId" in message)) return box;
  const sent = box.waiting.find(({ opId }) => opId === message.opId);
  if (sent === undefined) return box;
  const taking = sent.intent.kind === "undo" || sent.intent.kind === "redo";
  const done = (on: number | undefined): Outbox => ({
    waiting: following(box.waiting, sent, on),
    sentOn: null,
    stale: 0,
    aside: box.aside,
  });
  switch (message.type) {
    case "ack":
      return done(message.rev);
    case "stale":
      // Our edit says what it expects, so making it again on the newer routine cannot do harm. An undo would take back
      // what was done elsewhere meanwhile.
      if (box.stale < 3 && !taking)
        return {
          ...box,
          waiting: box.waiting.map((one) =>
            one === sent ? { ...sent, opId: newId(), replayed: true } : one,
          ),
          sentOn: null,
          stale: box.stale + 1,
        };
      return notDone(box, done(sent.on), sent, "The routine was changed elsewhere at the same time.");
    case "refused":
      // There is no sense in offering an undo again that had nothing to undo.
      if (taking) return done(sent.on);
      return notDone(box, done(sent.on), sent, message.message);
    default:
      return box;
  }
}

export const letGo = (box: Outbox, opId: string): Outbox => ({
  ...box,
  aside: box.aside.filter((one) => one.opId !== opId),
});

export function again(box: Outbox, opId: string, newId: () => string): Outbox {
  const one = box.aside.find((aside) => aside.opId === opId);
  if (one === undefined) return box;
  const { why: _, on: _on, ...waiting } = one;
  return queued(letGo(box, opId), { ...waiting, opId: newId() });
}
