/** Rehearse: what to practise next, the drill, how it went, what steers it; and the view for reading from afar. */
import { useEffect } from "preact/hooks";
import { HeardParts } from "../../schemas/drill.ts";
import { withCaution } from "../audio/caution.ts";
import { openMidiAgain } from "../audio/midiIn.ts";
import { useActions } from "../state/actions.ts";
import { goTo, place } from "../state/place.ts";
import { opened } from "../state/shown.ts";
import { Cautions, Pause } from "./Cautions.tsx";
import { ControlsPanel } from "./ControlsPanel.tsx";
import { keysOf, listenToControls } from "./controls.ts";
import { DrillForm } from "./DrillForm.tsx";
import { FarView } from "../far/FarView.tsx";
import { far } from "../far/shown.ts";
import { useWhilePlaying } from "../far/useWhilePlaying.ts";
import { FOLLOWS, openSecond, tell } from "../far/here.ts";
import { chosenParts, mixed } from "./choice.ts";
import { DrillButtons, withFader } from "./DrillButtons.tsx";
import { DrillOutcome } from "./DrillOutcome.tsx";
import { HEARD_WORDS } from "./heard.ts";
import { LatencyPanel } from "./LatencyPanel.tsx";
import { Progress } from "./Progress.tsx";
import { Outcome, Suggestions } from "./Suggestions.tsx";
import { choose, step } from "./comingRound.ts";
import { goOn } from "./run.ts";
import { changeTempo, judge, perform, startOrStop, stop, tick } from "./session.ts";
import { mode, running, tallies, TEMPO_STEP } from "./rounds.ts";
import { bindings, COMMANDS, type Command, dim, drill } from "./settings.ts";

const run: Readonly<Record<Exclude<Command, "fader">, () => void>> = {
  start: startOrStop,
  good: () => judge("good"),
  bad: () => judge("bad"),
  faster: () => changeTempo(TEMPO_STEP),
  slower: () => changeTempo(-TEMPO_STEP),
  next: () => step(1),
  previous: () => step(-1),
  on: goOn,
};
const command = (name: Command): void => {
  if (name !== "fader") run[name]();
};
export function RehearseScreen() {
  const follows = place.value.of === FOLLOWS;
  const keys = bindings.value;
  useEffect(() => {
    openMidiAgain();
    return listenToControls(command);
  }, []);
  // A drill goes with its screen.
  useEffect(
    () => () => {
      stop();
      far.value = false;
    },
    [],
  );
  useWhilePlaying(running.value, () => {
    tick();
    tell();
  });
  useActions(
    "Rehearse",
    [
      ...(Object.keys(run) as (keyof typeof run)[]).map((name) => ({
        id: `rehearse-${name}`,
        name: COMMANDS[name],
        keys: keysOf(name),
        run: run[name],
      })),
      {
        id: "rehearse-run",
        name: "Run through the whole, once",
        keys: ["r"],
        run: () => withCaution(perform),
      },
      {
        id: "rehearse-joins",
        name: "Practise all joins in random order",
        keys: ["j"],
        run: () => choose("joins"),
      },
      ...HeardParts.options.map((one) => ({
        id: `rehearse-hear-${one}`,
        name: `Hear ${HEARD_WORDS[one]}`,
        keys: [],
        run: () => hear(one),
      })),
      {
        id: "rehearse-hear",
        name: "Hear the next choice: everything, the beat alone, hands apart …",
        keys: ["h"],
        run: () => {
          const all = HeardParts.options;
          hear(all[(all.indexOf(drill.value.heard) + 1) % all.length] ?? "all");
        },
      },
      {
        id: "rehearse-far",
        name: "View for reading from afar",
        keys: ["v"],
        run: () => {
          far.value = !far.value;
        },
      },
      {
        id: "rehearse-dim",
        name: "Dim that view for the stage, or not",
        keys: ["d"],
        run: () => {
          dim.value = !dim.value;
        },
      },
      { id: "rehearse-second", name: "Open a second window that follows", keys: [], run: openSecond },
      { id: "rehearse-leave", name: "Leave the view from afar", keys: ["Escape"], run: leave },
    ],
    [keys],
  );
  if (opened.value === null) return null;
  if (follows || far.value)
    return (
      <FarView
        title={farTitle()}
        outcome={<DrillOutcome />}
        buttons={<DrillButtons />}
        rows={2}
        pads={withFader()}
        onStop={stop}
        onLeave={leave}
      />
    );
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: it hears a key of what is within.
    <div class="rehearse" onKeyDown={leaveChoice}>
      <Pause />
      {mode.value === null && <Outcome />}
      <Cautions />
      <div class="rehearse-columns">
        <Suggestions />
        <DrillForm />
      </div>
      <Progress />
      <ControlsPanel />
      <LatencyPanel />
    </div>
  );
}

/** Escape leaves a choice, so that the keys of the drill are heard again; a field does so by itself. */
function leaveChoice({ key, target }: KeyboardEvent): void {
  if (key === "Escape" && target instanceof HTMLSelectElement) target.blur();
}

/** What a drill that is played lets be heard stays until it is started again. */
function hear(heard: HeardParts): void {
  drill.value = { ...drill.value, heard };
}

/** What was practised, or is about to be. */
function farTitle(): string {
  const only = tallies.value.size === 1 ? [...tallies.value.values()][0]?.part.name : undefined;
  const chosen = mode.value === "drill" && !mixed.value ? chosenParts()[0]?.name : undefined;
  return only ?? chosen ?? opened.value?.routine.title ?? "";
}

function leave(): void {
  far.value = false;
  if (place.value.of === FOLLOWS) goTo("rehearse");
}
