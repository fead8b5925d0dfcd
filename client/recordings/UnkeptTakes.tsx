/** What was played and the folder could not take is not thrown away: each take, why, and what can be done with it. */
import { saveFile } from "../parts/saveFile.ts";
import { opened } from "../state/shown.ts";
import { keepHeld } from "./keeping.ts";
import { busy } from "./kept.ts";
import { fileOf, letGo, type Unkept, unkept } from "./unkept.ts";

export function UnkeptTakes() {
  if (unkept.value.length === 0 || busy.value !== null) return null;
  return (
    <section class="unkept" aria-label="Not kept in the folder">
      {unkept.value.map((one) => (
        <UnkeptTake key={one.key} one={one} />
      ))}
      <button type="button" onClick={() => void keepHeld()}>
        {unkept.value.length === 1 ? "Keep it" : "Keep them"}
      </button>
    </section>
  );
}

function UnkeptTake({ one }: { one: Unkept }) {
  const { title } = one.about;
  const save = (): void => {
    const { content, name } = fileOf(one);
    saveFile(content, name);
  };
  return (
    <p class="line">
      <span class="warn">
        What you played of {title}
        {one.name !== opened.value?.name && `, in “${one.name}”,`} is not kept in the folder, and goes when
        this page is closed. {one.why}
      </span>
      <button type="button" onClick={save}>
        {one.played instanceof Blob ? "Export as WAV" : "Export the times"}
      </button>
      <button type="button" onClick={() => letGo(one)}>
        Throw it away
      </button>
    </p>
  );
}
