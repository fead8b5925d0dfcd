import { describe, expect, it } from "vitest";
import {
  again,
  answered,
  EMPTY,
  letGo,
  nextMessage,
  type Outbox,
  queued,
  renamed,
  unsent,
  waitingFor,
} from "../../client/state/outbox.ts";

const NAME = "night-ferry";
const one = (opId: string, name = NAME) => ({
  opId,
  name,
  words: `Title ${opId}`,
  intent: { kind: "edit" as const, edit: { kind: "title" as const, title: opId } },
});
const fresh = () => "new-id-0";

describe("edits on their way", () => {
  it("go one at a time, on the revision that is known", () => {
    const box = queued(queued(EMPTY, one("a")), one("b"));
    const first = nextMessage(box, 4, NAME)!;
    expect(first.message).toEqual({
      type: "edit",
      name: "night-ferry",
      opId: "a",
      base: 4,
      edit: { kind: "title", title: "a" },
    });
    expect(nextMessage(first.box, 4, NAME)).toBeNull();
    const after = answered(
      first.box,
      { type: "ack", name: "night-ferry", opId: "a", rev: 5, words: "" },
      fresh,
    );
    expect(nextMessage(after, 5, NAME)!.message).toMatchObject({ opId: "b", base: 5 });
  });

  it("are sent again with the same id when the connection broke before the answer", () => {
    const sent = nextMessage(queued(EMPTY, one("a")), 4, NAME)!.box;
    expect(nextMessage(unsent(sent), 7, NAME)!.message).toMatchObject({ opId: "a", base: 7 });
  });

  it("are tried anew when they were stale, and set aside at the fourth time", () => {
    let box = queued(EMPTY, one("a"));
    for (let round = 0; round < 4; round++) {
      const sent = nextMessage(box, round, NAME)!;
      const { opId, replayed } = sent.message as { opId: string; replayed?: boolean };
      expect(replayed).toBe(round === 0 ? undefined : true);
      box = answered(
        sent.box,
        { type: "stale", name: "night-ferry", opId, rev: round + 1, edits: [] },
        fresh,
      );
    }
    expect(box.waiting).toEqual([]);
    expect(box.aside.map(({ words }) => words)).toEqual(["Title a"]);
  });

  it("that were refused are offered with the reason, and never dropped by themselves", () => {
    const sent = nextMessage(queued(EMPTY, one("a")), 4, NAME)!.box;
    const refused = answered(
      sent,
      { type: "refused", name: "night-ferry", opId: "a", rev: 4, message: "It is gone." },
      fresh,
    );
    expect(refused.aside).toMatchObject([{ opId: "a", why: "It is gone." }]);
    expect(again(refused, "a", fresh)).toMatchObject({ waiting: [{ opId: "new-id-0" }], aside: [] });
    expect(letGo(refused, "a").aside).toEqual([]);
  });

  it("of another routine stand in nobody's way, and follow its name", () => {
    const box = queued(queued(queued(EMPTY, one("a", "gone")), one("b")), one("c", "gone"));
    const sent = nextMessage(box, 4, NAME)!;
    expect(sent.message).toMatchObject({ opId: "b", name: NAME });
    const after = answered(sent.box, { type: "ack", name: NAME, opId: "b", rev: 5, words: "" }, fresh);
    expect(nextMessage(after, 5, NAME)).toBeNull();
    expect(after.waiting.map(({ opId }) => opId)).toEqual(["a", "c"]);
    const called = renamed(after, "gone", "back");
    expect(waitingFor(called, "gone")).toEqual([]);
    expect(nextMessage(called, 1, "back")!.message).toMatchObject({ opId: "a", name: "back" });
  });

  describe("with an undo among them", () => {
    const undo = (opId: string) => ({ opId, name: NAME, words: "Undo", intent: { kind: "undo" as const } });
    const redo = (opId: string) => ({ opId, name: NAME, words: "Redo", intent: { kind: "redo" as const } });
    const inOrder = (
      ...all: readonly (ReturnType<typeof one> | ReturnType<typeof undo> | ReturnType<typeof redo>)[]
    ) => all.reduce<Outbox>((box, next) => queued(box, next), EMPTY);
    const sent = (box: Outbox, base: number) => nextMessage(box, base, NAME)!;
    const ack = (box: Outbox, opId: string, rev: number) =>
      answered(box, { type: "ack", name: NAME, opId, rev, words: "" }, fresh);
    const refuse = (box: Outbox, opId: string) =>
      answered(box, { type: "refused", name: NAME, opId, rev: 4, message: "It is gone." }, fresh);
    const stale = (box: Outbox, opId: string) =>
      answered(box, { type: "stale", name: NAME, opId, rev: 9, edits: [] }, fresh);

    it("send it on the revision that the one before it made, whatever came from elsewhere since", () => {
      const first = sent(inOrder(one("a"), undo("b")), 4);
      const after = ack(first.box, "a", 5);
      expect(sent(after, 7).message).toMatchObject({ type: "undo", opId: "b", base: 5 });
      // An edit says what it expects, and is made on the newest.
      expect(nextMessage(ack(sent(after, 7).box, "b", 6), 7, NAME)).toBeNull();
      expect(sent(inOrder({ ...one("c"), on: 2 } as never), 7).message).toMatchObject({ base: 7 });
    });

    it("offer it again where something came between, so that it takes back nobody else’s", () => {
      const box = inOrder({ ...undo("a"), on: 4 } as never, undo("b"), one("c"));
      const first = stale(sent(box, 7).box, "a");
      expect(first.aside.map(({ opId }) => opId)).toEqual(["a"]);
      expect(sent(first, 7).message).toMatchObject({ opId: "b", base: 4 });
      const second = stale(sent(first, 7).box, "b");
      expect(second.aside.map(({ opId }) => opId)).toEqual(["a", "b"]);
      expect(sent(second, 7).message).toMatchObject({ opId: "c", base: 7 });
      // The user has looked: what is done last is taken back.
      expect(sent(again({ ...second, waiting: [] }, "a", fresh), 9).message).toMatchObject({ base: 9 });
    });

    it("let it go with the edit that was refused, and the one behind takes back what it meant", () => {
      const first = ack(sent(inOrder(one("a"), one("b"), undo("c"), undo("d"), one("e")), 4).box, "a", 5);
      const after = refuse(sent(first, 5).box, "b");
      // It was taken back: nothing of it is to be offered.
      expect(after.aside).toEqual([]);
      expect(after.waiting.map(({ opId }) => opId)).toEqual(["d", "e"]);
      expect(sent(after, 8).message).toMatchObject({ type: "undo", opId: "d", base: 5 });
    });

    it("offer an edit that was taken back and done again", () => {
      const after = refuse(sent(inOrder(one("a"), undo("b"), redo("c"), one("d")), 4).box, "a");
      expect(after.aside.map(({ opId }) => opId)).toEqual(["a"]);
      expect(after.waiting.map(({ opId }) => opId)).toEqual(["d"]);
    });
  });
});
