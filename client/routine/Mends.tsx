/** How the chosen placement is reached and how it lands, and what would mend either: each at one press. */
import { useEffect, useRef, useState } from "preact/hooks";
import type { Mend } from "../../schemas/facts.ts";
import type { ServerMessage } from "../../schemas/wire.ts";
import { Help } from "../parts/Help.tsx";
import { Waiting } from "../parts/Waiting.tsx";
import { ask, Sorry } from "../state/connection.ts";
import { useActions } from "../state/actions.ts";
import { change } from "../state/change.ts";
import { draft, noDraft } from "../state/draft.ts";
import { opened } from "../state/shown.ts";
import { joinText } from "./Joins.tsx";
import type { Lying } from "./lying.ts";
import { nameOf } from "./settle.ts";

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

/** A mend is told as a sentence; a button and the past have no full stop. */
const label = ({ words }: Mend): string => words.replace(/\.$/, "");

/** Each is shown in the rows while it is pointed at or has the focus, and kept when it is pressed. */
function Choices({ title, mends }: { title: string; mends: readonly Mend[] }) {
  const take = (mend: Mend) => (): void => {
    noDraft();
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
          onPointerEnter={() => draft(mend.edit)}
          onPointerLeave={noDraft}
          onFocus={() => draft(mend.edit)}
          onBlur={noDraft}
          onClick={take(mend)}
        >
          {label(mend)}
        </button>
      ))}
    </div>
  );
}
