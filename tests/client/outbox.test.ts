import { describe, expect, it } from "vitest";
import {
  again,
  answered,
  EMPTY,
  letGo,
  nextMessage,
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
});
