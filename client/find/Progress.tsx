/** How far a search is, and what came of it, in words. */
import { counted } from "../parts/music.ts";
import { Waiting } from "../parts/Waiting.tsx";
import { cancel, type SearchState, stopLooking } from "./search.ts";

const grouped = (digits: string): string => digits.replace(/\B(?=(\d{3})+$)/g, ",");
const combinations = (count: string): string =>
  count === "1" ? "1 combination" : `${grouped(count)} combinations`;

export function Progress(props: { state: SearchState }) {
  const { state } = props;
  switch (state.kind) {
    case "none":
      return null;
    case "trouble":
      return (
        <p class="trouble" role="alert">
          {state.message}
        </p>
      );
    case "looking-around":
      return <Waiting words="Looking for what is one change away" onStop={stopLooking} />;
    case "large":
      return (
        <p role="status">
          {combinations(state.total)}: going through them takes a while.{" "}
          <button type="button" onClick={state.start}>
            Go through them
          </button>
        </p>
      );
    case "running": {
      const { looked = "0", matching = "0" } = state.progress ?? {};
      return (
        <p role="status">
          <progress
            max={1}
            value={Number(looked) / Math.max(1, Number(state.total))}
            aria-label="How much has been looked at"
          />{" "}
          {grouped(looked)} of {combinations(state.total)} looked at, {grouped(matching)} match.{" "}
          <button type="button" onClick={cancel}>
            End the search
          </button>
        </p>
      );
    }
    case "done":
      if (state.of === "neighbours")
        return <p role="status">{counted(state.candidates.length, "phrase")}.</p>;
      return (
        <p role="status">
          {state.count === state.total
            ? combinations(state.count)
            : `${grouped(state.count)} of ${combinations(state.total)} match`}
          {!state.complete && ", as far as was looked"}
          {state.count !== "0" &&
            state.candidates.length < Number(state.count) &&
            `; the first ${state.candidates.length} are listed`}
          {state.count === "0" && ". Ask for less, or for longer cycles and more kinds"}.
        </p>
      );
  }
}
