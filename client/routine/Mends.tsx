/** How the chosen placement is reached and how it lands, and what would mend either: each at one press. */
import { useEffect, useRef, useState } from "preact/hooks";
import type { Mend } from "../../schemas/facts.ts";
import type { ServerMessage } from "../../schemas/wire.ts";
import { hearDraft, playFrom } from "../audio/transport.ts";
import { Help } from "../parts/Help.tsx";
import { Waiting } from "../parts/Waiting.tsx";
import { ask, Sorry } from "../state/connection.ts";
import { useActions } from "../state/actions.ts";
import { change } from "../state/change.ts";
import { draft, noDraft } from "../state/draft.ts";
import type { Opened } from "../state/opened.ts";
import { opened } from "../state/shown.ts";
import { joinText } from "./Joins.tsx";
import type { Lying } from "./lying.ts";
import { nameOf } from "./settle.ts";
import { spotAt } from "./spot.ts";

/** @param atOnce what would mend it is looked for without being asked */
export function Mends({ one, atOnce = false }: { one: Lying; atOnce?: boolean }) {
  const [found, setFound] = useState<ServerMessage<"mends"> | string | null>(null);
  const looking = useRef<AbortController | null>(null);
  const [busy, setBusy] = useState(false);
  const state = opened.value;
  useEffect(() => () => looking.current?.abort(), []);
  useEffect(() => {
    if (atOnce && state !== null && (loose || reach)) void find();
  }, [state?.rev]);
  if (state === null) return null;
  const facts = state.sectionFacts.get(one.section);
  const join = facts?.joins.find(({ to }) => to.section === one.section && to.placement === one.index);
  const landing = facts?.placements.find(({ placement }) => placement === one.index)?.landing.steps ?? "0";
  const loose = landing !== "0";
  const reach = join?.verdict === "beyond your limits";
  const find = async (): Promise<void> => {
    looking.current?.abort();
    const mine = new AbortController();
    looking.current = mine;
    setBusy(true);
    try {
      const question = { name: state.name, section: one.section, placement: one.index };
      setFound(await ask<"mends">({ type: "mends", ...question }, mine.signal));
    } catch (error) {
      if (!(error instanceof Sorry)) throw error;
      if (!mine.signal.aborted) setFound(error.message);
    }
    if (looking.current === mine) setBusy(false);
  };
  // What was found holds for one revision only.
  const mends = found !== null && typeof found !== "string" && found.rev === state.rev ? found : null;
  return (
    <div>
      {join !== undefined && (
        <p class={join.verdict === "beyond your limits" ? "trouble" : "quiet"}>
          <button type="button" class="hear" onClick={() => hear(state, one)}>
            Hear it
          </button>
          <Help term="join">Join</Help>,{" "}
          {joinText(
            join,
            nameOf(state, { section: join.from.section, index: join.from.placement }),
            nameOf(state, one),
          )}
        </p>
      )}
      {(loose || reach) && mends === null && (
        <button type="button" onClick={() => void find()}>
          {loose && reach
            ? "What would mend join and landing"
            : loose
              ? "What would make it land"
              : "What would make it flow"}
        </button>
      )}
      {busy && <Waiting words="Looking for what would mend it" onStop={() => looking.current?.abort()} />}
      {typeof found === "string" && <span class="trouble">{found}</span>}
      {mends !== null && reach && <Choices title="To reach it" mends={mends.join} />}
      {mends !== null && mends.why !== null && <p class="quiet">{mends.why}</p>}
      {mends !== null && loose && <Choices title="To make it land" mends={mends.landing} />}
    </div>
  );
}

/** From the bar before it. */
function hear(state: Opened, one: Lying): void {
  const before = spotAt(state, Math.max(0, one.from - one.bar));
  if (before !== null) playFrom(before.section, before.at);
}

/** A mend is told as a sentence; a button and the past have no full stop. */
const label = ({ words }: Mend): string => words.replace(/\.$/, "");

/** Each is shown in the rows, and heard where that is played, while it is pointed at or has the focus; kept when pressed. */
function Choices({ title, mends }: { title: string; mends: readonly Mend[] }) {
  const tryIt = (mend: Mend) => (): void => {
    draft(mend.edit);
    hearDraft(mend.edit);
  };
  const leave = (): void => {
    noDraft();
    hearDraft(null);
  };
  const take = (mend: Mend) => (): void => {
    leave();
    change(mend.edit, label(mend));
  };
  useActions(
    "Mends",
    mends.map((mend) => ({
      id: `mend-${mend.words}`,
      name: `${title}: ${label(mend)}`,
      keys: [],
      run: take(mend),
    })),
    [mends],
  );
  return (
    <div class="line" role="group" aria-label={title}>
      <span class="quiet">{title}:</span>
      {mends.length === 0 && <span>nothing small does. Move it, or put words before it.</span>}
      {mends.map((mend) => (
        <button
          key={mend.words}
          type="button"
          onPointerEnter={tryIt(mend)}
          onPointerLeave={leave}
          onFocus={tryIt(mend)}
          onBlur={leave}
          onClick={take(mend)}
        >
          {label(mend)}
        </button>
      ))}
    </div>
  );
}
