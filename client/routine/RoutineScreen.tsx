/** The routine: its sections in order, each with what it is, what is wrong in it, its joins, and its bar rows. */
import { useRef } from "preact/hooks";
import { playFrom } from "../audio/transport.ts";
import { barUnits, clockText, counted } from "../parts/music.ts";
import { isPrinting } from "../parts/near.tsx";
import { useWidth } from "../parts/width.ts";
import { Legend } from "../rows/Legend.tsx";
import { GUTTER } from "../rows/metrics.ts";
import { SectionRows } from "../rows/SectionRows.tsx";
import { useActions } from "../state/actions.ts";
import { change, shown } from "../state/store.ts";
import { chosen, chosenPlacement } from "./chosen.ts";
import { drag, nudge, remove } from "./gesture.ts";
import { Joins } from "./Joins.tsx";
import { PlacementPanel } from "./PlacementPanel.tsx";
import { markOf, ProblemList } from "./Problems.tsx";
import { SectionHead } from "./SectionHead.tsx";
import { lookUp } from "./chosen.ts";
import { StretchHandle } from "./StretchHandle.tsx";

/** CSS pixels of a row on A4 or Letter, upright, inside usual margins. */
const PAPER_WIDTH = 620;

export function RoutineScreen() {
  const ref = useRef<HTMLDivElement>(null);
  const screenWidth = Math.max(200, useWidth(ref) - GUTTER - 4);
  const width = isPrinting.value ? PAPER_WIDTH : screenWidth;
  const state = shown.value;
  const one = (): ReturnType<typeof lookUp> => chosenPlacement.value;
  useActions("Routine", [
    {
      id: "earlier",
      name: "Move the chosen placement a step earlier",
      keys: ["ArrowLeft"],
      run: () => nudge(one(), "move", -1),
      disabled: () => one() === null,
    },
    {
      id: "later",
      name: "Move it a step later",
      keys: ["ArrowRight"],
      run: () => nudge(one(), "move", 1),
      disabled: () => one() === null,
    },
    {
      id: "fine-earlier",
      name: "Move it a quarter of a step earlier",
      keys: ["Alt+ArrowLeft"],
      run: () => nudge(one(), "move", -1, true),
      disabled: () => one() === null,
    },
    {
      id: "fine-later",
      name: "Move it a quarter of a step later",
      keys: ["Alt+ArrowRight"],
      run: () => nudge(one(), "move", 1, true),
      disabled: () => one() === null,
    },
    {
      id: "shorter",
      name: "End it a step earlier",
      keys: ["Shift+ArrowLeft"],
      run: () => nudge(one(), "stretch", -1),
      disabled: () => one() === null,
    },
    {
      id: "longer",
      name: "End it a step later",
      keys: ["Shift+ArrowRight"],
      run: () => nudge(one(), "stretch", 1),
      disabled: () => one() === null,
    },
    {
      id: "remove",
      name: "Remove the chosen placement",
      keys: ["Delete", "Backspace"],
      run: () => {
        const it = one();
        if (it !== null) {
          remove(it);
          chosen.value = null;
        }
      },
      disabled: () => one() === null,
    },
    {
      id: "choose-none",
      name: "Choose nothing",
      keys: ["Escape"],
      run: () => {
        chosen.value = null;
      },
    },
  ]);
  if (state === null) return <div ref={ref} />;
  const { routine, performance } = state;
  const limit = routine.timeLimit;
  const seconds = performance.endSeconds;
  const ownerOf = (owner: number): string => routine.sections[owner]?.id ?? "";
  return (
    <div ref={ref} class="routine">
      <div class="line top">
        <label class="field">
          <span>Title</span>
          <input
            value={routine.title}
            onChange={(event) =>
              change({ kind: "title", title: event.currentTarget.value }, "Change the title")
            }
          />
        </label>
        <span class={limit !== undefined && seconds > limit ? "trouble" : ""}>
          {clockText(seconds)}
          {limit !== undefined &&
            ` of ${clockText(limit)} allowed${seconds > limit ? `, ${Math.ceil(seconds - limit)} seconds over` : ""}`}
        </span>
        <label class="field">
          <span>Time limit, seconds</span>
          <input
            class="number"
            type="number"
            min={1}
            value={limit ?? ""}
            onChange={(event) =>
              change(
                {
                  kind: "time-limit",
                  seconds: event.currentTarget.value === "" ? null : Number(event.currentTarget.value),
                },
                "Change the time limit",
              )
            }
          />
        </label>
      </div>
      <ProblemList />
      <Legend />
      {routine.sections.map((section, index) => (
        <section
          key={section.id}
          class="part"
          aria-label={section.name ?? section.id}
          id={`section-${section.id}`}
        >
          <SectionHead section={section} index={index} />
          <Joins section={section.id} />
          <div
            class="hand-area"
            onPointerDown={(event) => {
              const target = (event.target as Element).closest<HTMLElement>("[data-placed], [data-stretch]");
              if (target === null) return;
              const [owner, placement] = (target.dataset["placed"] ?? target.dataset["stretch"] ?? "")
                .split("/")
                .map(Number);
              const it = lookUp({ section: ownerOf(owner!), index: placement! });
              if (it === null) return;
              chosen.value = { section: it.section, index: it.index };
              drag(event, it, target.dataset["stretch"] === undefined ? "move" : "stretch", section.id);
            }}
          >
            <SectionRows
              performance={performance}
              index={index}
              routine={routine}
              width={width}
              mark={(owner, placement) => markOf(state.problems, owner, placement)}
              chosen={(owner, placement) =>
                chosen.value?.section === ownerOf(owner) && chosen.value.index === placement
              }
              onNumber={(number) => playFrom(section.id, (number - 1) * barUnits(section.meter))}
              onPlaced={(owner, placement) => {
                chosen.value = { section: ownerOf(owner), index: placement };
              }}
            />
            <StretchHandle section={section.id} index={index} width={width} />
          </div>
        </section>
      ))}
      <AddSection />
      <p class="quiet">
        {counted(routine.sections.length, "section")},{" "}
        {counted(
          routine.sections.reduce((sum, { bars }) => sum + bars, 0),
          "bar",
        )}
        .
      </p>
      <PlacementPanel />
    </div>
  );
}

function AddSection() {
  return (
    <button
      type="button"
      onClick={() => {
        const routine = shown.value?.routine;
        const last = routine?.sections.at(-1);
        if (routine === undefined || last === undefined) return;
        const taken = new Set(routine.sections.map(({ id }) => id));
        let number = routine.sections.length + 1;
        while (taken.has(`section-${number}`)) number += 1;
        const tempo = typeof last.tempo === "number" ? last.tempo : last.tempo.to;
        change(
          {
            kind: "add-section",
            section: {
              id: `section-${number}`,
              name: `Section ${number}`,
              bars: 4,
              meter: last.meter,
              tempo,
              ...(last.beat === undefined ? {} : { beat: last.beat }),
              placements: [],
            },
            before: null,
          },
          "Add a section",
        );
      }}
    >
      Add a section at the end
    </button>
  );
}
