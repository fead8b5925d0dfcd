/** What stands in a clip, event by event, as a DAW will find it; anew after each change. */
import { ColumnHeads } from "../parts/ColumnHeads.tsx";
import type { ClipAccount, Listed } from "../../schemas/answers.ts";
import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { percussionName, keyName } from "../parts/keys.ts";
import { counted, tidy } from "../parts/music.ts";
import { middleC } from "../state/settings.ts";
import { accountOf } from "./clips.ts";

/** Channel 10 is General MIDI's for percussion. */
const PERCUSSION = 10;

function words({ kind, channel, number = 0, value = 0, text, length }: Listed, ppq: number): string {
  switch (kind) {
    case "note": {
      const drum = channel === PERCUSSION ? percussionName(number) : undefined;
      const name = `${keyName(number, middleC.value)}${drum === undefined ? "" : `, ${drum}`}`;
      return `key ${number} (${name}), velocity ${value}, ${tidy((length ?? 0) / ppq, 3)} quarters`;
    }
    case "controller":
      return `controller ${number}: ${value}`;
    case "bend":
      return `bend ${value > 0 ? "+" : value < 0 ? "−" : ""}${Math.abs(value)}`;
    case "tempo":
      return `tempo ${tidy(value, 3)}`;
    case "metre":
      return `metre ${text}`;
    case "marker":
      return `marker “${text}”`;
    case "name":
      return `name “${text}”`;
  }
}

export function ClipEvents({ name, file, time }: { name: string; file: string; time: number }) {
  const account = useSignal<ClipAccount | null>(null);
  const why = useSignal<string | null>(null);
  useEffect(() => {
    let wanted = true;
    void accountOf(name, file).then((got) => {
      if (!wanted) return;
      account.value = "why" in got ? null : got.answer;
      why.value = "why" in got ? got.why : null;
    });
    return () => {
      wanted = false;
    };
  }, [name, file, time]);
  const now = account.value;
  if (why.value !== null) return <p class="trouble">{why.value}</p>;
  if (now === null) return <p role="status">Reading the clip…</p>;
  return (
    <div
      class="events"
      // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by keyboard
      tabIndex={0}
      role="group"
      aria-label={`Events of ${file}`}
    >
      <table>
        <ColumnHeads titles={["Quarter", "Channel", "Event"]} />
        <tbody>
          {now.events.map((event, index) => (
            <tr key={index}>
              <td>{(event.tick / now.ppq).toFixed(3)}</td>
              <td>{event.channel ?? ""}</td>
              <td>{words(event, now.ppq)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {now.count > now.events.length && (
        <p class="quiet">
          The first {now.events.length} of {counted(now.count, "event")}.
        </p>
      )}
    </div>
  );
}
