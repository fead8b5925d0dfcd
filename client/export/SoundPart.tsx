/** The routine as sound: the mix and its stems, aligned to the same bars and named alike. */
import { ColumnHeads } from "../parts/ColumnHeads.tsx";
import { useSignal } from "@preact/signals";
import { ChoiceField, TickField } from "../parts/Fields.tsx";
import { useActions } from "../state/actions.ts";
import type { Opened } from "../state/opened.ts";
import { PARTS, type Part, stopTaking, take, type Taking, takings } from "./soundFiles.ts";

const WORDS: Readonly<Record<Part, string>> = {
  mix: "the mix: scratch and beat",
  scratch: "the scratch alone",
  beat: "the beat alone",
  click: "clicks alone: bars, beats and groups",
};
const figure = (value: number | null | undefined, unit: string): string =>
  value === undefined ? "" : value === null ? "silent" : `${value.toFixed(1).replace("-", "−")} ${unit}`;

export function SoundPart({ state }: { state: Opened }) {
  const section = useSignal("");
  const parts = useSignal<ReadonlySet<Part>>(new Set(["mix"]));
  const wanted = PARTS.filter((part) => parts.value.has(part));
  const busy = takings.value.some((one) => one.state === "waits" || one.state === "comes");
  const go = (): void => void take(state.name, section.value, wanted);
  useActions("Export", [
    { id: "take-sound", name: "Download the chosen sound files", keys: [], run: go },
    { id: "stop-sound", name: "Stop making sound files", keys: [], run: stopTaking },
  ]);
  return (
    <>
      <p>
        WAV files, 24 bits at 48 kHz. Files of the same bars have the same length to the frame and start on
        the same bar, so that they lie side by side in any program. The true peak is kept below −1 dBTP.
      </p>
      <div class="line">
        <ChoiceField
          label="Of"
          value={section.value}
          options={[
            ["", "the whole routine"],
            ...state.routine.sections.map(({ id, name }) => [id, `section ${name ?? id}`] as const),
          ]}
          onValue={(id) => {
            section.value = id;
          }}
        />
        {PARTS.map((part) => (
          <TickField
            key={part}
            label={WORDS[part]}
            value={parts.value.has(part)}
            onValue={(on) => {
              const next = new Set(parts.value);
              if (on) next.add(part);
              else next.delete(part);
              parts.value = next;
            }}
          />
        ))}
      </div>
      <div class="line">
        <button type="button" disabled={wanted.length === 0 || busy} onClick={go}>
          Download
        </button>
        {busy && (
          <button type="button" onClick={stopTaking}>
            Stop
          </button>
        )}
      </div>
      {takings.value.length > 0 && <TakingTable list={takings.value} />}
      <p class="quiet small">
        Loudness by ITU-R BS.1770 over the whole file. Keep listening levels moderate; loud sound harms
        hearing in the long run, and what is safe depends on level and time: ask a hearing professional where
        in doubt.
      </p>
    </>
  );
}

const STATES: Readonly<Record<Taking["state"], string>> = {
  waits: "waits",
  comes: "is made",
  done: "downloaded",
  stopped: "stopped",
  trouble: "",
};

function TakingTable({ list }: { list: readonly Taking[] }) {
  return (
    <table class="takings">
      <ColumnHeads titles={["File", "State", "Loudness", "True peak"]} />
      <tbody>
        {list.map((one) => (
          <tr key={one.part}>
            <td>{one.file ?? WORDS[one.part]}</td>
            <td>
              {one.state === "comes" ? (
                <progress
                  value={one.done}
                  max={1}
                  aria-label={`${one.part}, ${Math.round(one.done * 100)} percent`}
                />
              ) : (
                <span class={one.state === "trouble" ? "trouble" : ""}>{one.why ?? STATES[one.state]}</span>
              )}
            </td>
            <td>{figure(one.loudness, "LUFS")}</td>
            <td>{figure(one.truePeak, "dBTP")}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
