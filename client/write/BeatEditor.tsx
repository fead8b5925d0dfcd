/** A beat on bar rows of its own: a track a drum, hits put in and taken out where one clicks, or as numbers of steps. */
import { useEffect, useRef, useState } from "preact/hooks";
import type { Beat, Hit, Routine } from "../../schemas/routine.ts";
import { material } from "../audio/transport.ts";
import { counted, readFraction, STEPS, stepName, unitsOfText } from "../parts/music.ts";
import { useWidth } from "../parts/width.ts";
import { noteNames } from "../state/settings.ts";
import { change, opened } from "../state/store.ts";
import { DRUMS, drumName, toggled, withSteps } from "./beatHits.ts";

const LANE = 24;

function aloneWith(routine: Routine, beat: Beat): Routine {
  const section = routine.sections.find((one) => one.beat === beat.id) ?? routine.sections[0]!;
  const { beatContinues: _, beatRests: __, ...rest } = section;
  const bars = Math.max(1, Math.ceil((unitsOfText(beat.step) * beat.steps) / unitsOfText(section.meter)));
  const tempo = typeof section.tempo === "number" ? section.tempo : section.tempo.from;
  return {
    ...routine,
    patterns: [],
    beats: [beat],
    sections: [{ ...rest, tempo, bars, beat: beat.id, placements: [] }],
  };
}

export function BeatEditor(props: { beat: Beat }) {
  const { beat } = props;
  const ref = useRef<HTMLDivElement>(null);
  const width = Math.max(160, useWidth(ref) - 124);
  const routine = opened.value?.routine;
  const step = unitsOfText(beat.step);
  const sixteenth = Math.max(1, Math.round(unitsOfText("1/16") / step));
  const [grid, setGrid] = useState(sixteenth);
  useEffect(() => {
    if (routine !== undefined) material.value = { kind: "alone", routine: aloneWith(routine, beat) as never };
  }, [beat]);
  useEffect(
    () => () => {
      material.value = null;
    },
    [],
  );
  if (routine === undefined) return <div ref={ref} />;
  const home = routine.sections.find((one) => one.beat === beat.id) ?? routine.sections[0]!;
  const perRow = Math.max(1, Math.round(unitsOfText(home.meter) / step));
  const rows = Math.min(64, Math.ceil(beat.steps / perRow));
  const keys = [...new Set([...beat.hits.map(({ key }) => key), 36, 38, 42])].sort((a, b) => a - b);
  const set = (hits: readonly Hit[]): void =>
    change({ kind: "change-beat", id: beat.id, set: { hits } }, `Draw ${beat.name ?? beat.id}`);
  return (
    <div ref={ref} class="write">
      <div class="line">
        <label class="field">
          <span>Name</span>
          <input
            value={beat.name ?? ""}
            onChange={(e) =>
              change(
                { kind: "change-beat", id: beat.id, set: { name: e.currentTarget.value || null } },
                "Rename the beat",
              )
            }
          />
        </label>
        <label class="field">
          <span>Step</span>
          <select
            value={beat.step}
            onChange={(e) =>
              change(
                { kind: "change-beat", id: beat.id, set: { step: e.currentTarget.value } },
                "Change the beat's step",
              )
            }
          >
            {[...new Set([beat.step, ...STEPS])].map((one) => (
              <option key={one} value={one}>
                {stepName(one, noteNames.value)}
              </option>
            ))}
          </select>
        </label>
        <label class="field">
          <span>Length in steps</span>
          <input
            class="number"
            type="number"
            min={1}
            value={beat.steps}
            onChange={(e) =>
              change(
                { kind: "change-beat", id: beat.id, set: { steps: Number(e.currentTarget.value) } },
                "Change the beat's length",
              )
            }
          />
        </label>
        <label class="field">
          <span>Clicks keep to every</span>
          <select value={grid} onChange={(e) => setGrid(Number(e.currentTarget.value))}>
            {[...new Set([1, sixteenth, 2 * sixteenth])].map((one) => (
              <option key={one} value={one}>
                {counted(one, "step")}
              </option>
            ))}
          </select>
        </label>
        <select
          aria-label="Add a drum"
          value=""
          onChange={(e) => {
            if (e.currentTarget.value !== "") set(toggled(beat.hits, Number(e.currentTarget.value), 0));
            e.currentTarget.value = "";
          }}
        >
          <option value="">Add a drum…</option>
          {Object.entries(DRUMS)
            .filter(([key]) => !keys.includes(Number(key)))
            .map(([key, drum]) => (
              <option key={key} value={key}>
                {drum} ({key})
              </option>
            ))}
        </select>
      </div>
      {Array.from({ length: rows }, (_, row) => (
        <div key={row} class="beat-row">
          <span class="quiet">Bar {row + 1}</span>
          <svg
            role="img"
            aria-label={`Bar ${row + 1}: ${keys
              .map(
                (key) =>
                  `${drumName(key)} at ${
                    beat.hits
                      .filter((h) => h.key === key)
                      .flatMap((h) => h.at)
                      .filter((at) => at >= row * perRow && at < (row + 1) * perRow)
                      .map((at) => at - row * perRow + 1)
                      .join(", ") || "no step"
                  }`,
              )
              .join("; ")}`}
            width={width}
            height={keys.length * LANE}
            onPointerDown={(event) => {
              const box = event.currentTarget.getBoundingClientRect();
              const key = keys[Math.floor((event.clientY - box.top) / LANE)];
              const at =
                row * perRow +
                Math.floor((((event.clientX - box.left) / width) * perRow) / grid + 0.5) * grid;
              if (key === undefined || at < 0) return;
              // A hit near the pointer is meant, also one that lies off the grid: a late snare.
              const near = beat.hits
                .filter((hit) => hit.key === key)
                .flatMap((hit) => hit.at)
                .find((one) => Math.abs(one - at) < grid / 2);
              if ((near ?? at) < beat.steps) set(toggled(beat.hits, key, near ?? at));
            }}
          >
            {Array.from({ length: Math.floor(perRow / sixteenth) + 1 }, (_, line) => (
              <line
                key={line}
                class="axis"
                x1={(line * sixteenth * width) / perRow}
                x2={(line * sixteenth * width) / perRow}
                y1={0}
                y2={keys.length * LANE}
              />
            ))}
            {beat.hits.flatMap((hit) =>
              hit.at
                .filter((at) => at >= row * perRow && at < (row + 1) * perRow)
                .map((at) => {
                  const height = (LANE - 4) * (0.4 + (0.6 * (hit.velocity ?? 100)) / 127);
                  return (
                    <rect
                      key={`${hit.key} ${at} ${hit.velocity}`}
                      class="hit"
                      x={((at - row * perRow) / perRow) * width}
                      y={(keys.indexOf(hit.key) + 1) * LANE - 2 - height}
                      width={7}
                      height={height}
                    />
                  );
                }),
            )}
          </svg>
        </div>
      ))}
      {keys.map((key) => (
        <label key={key} class="field">
          <span class="drum">
            {drumName(key)} ({key}), at steps
          </span>
          <input
            class="entry"
            value={beat.hits
              .filter((hit) => hit.key === key)
              .flatMap((hit) => hit.at)
              .sort((a, b) => a - b)
              .map((at) => at + 1)
              .join(" ")}
            onChange={(e) => {
              const steps = e.currentTarget.value
                .split(/[\s,]+/)
                .filter((text) => text !== "")
                .map((text) => readFraction(text))
                .map((value) => (value === null ? Number.NaN : Number(value.n) / Number(value.d) - 1));
              const wrong = steps.some((at) => !Number.isInteger(at) || at < 0 || at >= beat.steps);
              e.currentTarget.setCustomValidity(
                wrong ? `Write whole steps from 1 to ${beat.steps}, parted by spaces.` : "",
              );
              e.currentTarget.reportValidity();
              if (!wrong) set(withSteps(beat.hits, key, [...new Set(steps)]));
            }}
          />
        </label>
      ))}
    </div>
  );
}
