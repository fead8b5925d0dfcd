/** What is taken away and brought back: clips, sound, live MIDI, files of other programs, the set list. */
import type { FunctionComponent } from "preact";
import { addressOf, goTo, place } from "../state/place.ts";
import { useActions } from "../state/actions.ts";
import type { Opened } from "../state/opened.ts";
import { opened } from "../state/shown.ts";
import { BringPart } from "./BringPart.tsx";
import { ClipsPart } from "./ClipsPart.tsx";
import { LivePart } from "./LivePart.tsx";
import { SetListPart } from "./SetListPart.tsx";
import { SoundPart } from "./SoundPart.tsx";

const PARTS: readonly (readonly [of: string, title: string, View: FunctionComponent<{ state: Opened }>])[] = [
  ["", "MIDI clips", ClipsPart],
  ["sound", "Sound", SoundPart],
  ["live", "Live MIDI", LivePart],
  ["bring", "Bring in MIDI", BringPart],
  ["set-list", "Set list", SetListPart],
];

export function ExportScreen() {
  const state = opened.value;
  const { of } = place.value;
  useActions(
    "Export",
    PARTS.map(([part, title]) => ({
      id: `export-${part === "" ? "clips" : part}`,
      name: `Export: ${title}`,
      keys: [],
      run: () => goTo("export", part),
    })),
  );
  if (state === null) return null;
  const [, title, View] = PARTS.find(([part]) => part === of) ?? (PARTS[0] as (typeof PARTS)[number]);
  return (
    <div class="export">
      <nav class="line parts" aria-label="Parts of Export">
        {PARTS.map(([part, words]) => (
          <a key={part} href={addressOf("export", part)} aria-current={words === title ? "page" : undefined}>
            {words}
          </a>
        ))}
      </nav>
      <h2>{title}</h2>
      <View state={state} />
    </div>
  );
}
