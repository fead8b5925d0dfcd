/** A button, and a place to drop on, that takes a sound file into the routine's folder. */
import { useRef, useState } from "preact/hooks";
import type { Sound } from "./decode.ts";
import { bring, trouble, work } from "./soundFiles.ts";

export function BringSound(props: {
  words: string;
  /** One of several on the page: only what became of its own sound is said here. */
  amongOthers?: boolean;
  /** @param name the file's own name without its ending */
  onSound: (brought: { file: string; sound: Sound }, name: string) => void;
}) {
  const input = useRef<HTMLInputElement>(null);
  const [over, setOver] = useState(false);
  const [mine, setMine] = useState(props.amongOthers !== true);
  const take = async (file: File | undefined): Promise<void> => {
    if (file === undefined) return;
    setMine(true);
    const brought = await bring(file);
    if (brought !== null) props.onSound(brought, file.name.replace(/\.[^.]*$/, "").slice(0, 200));
  };
  return (
    <div
      role="group"
      aria-label={props.words}
      class={`bring${over ? " over" : ""}`}
      onDragOver={(event) => {
        event.preventDefault();
        event.stopPropagation();
        setOver(true);
      }}
      onDragLeave={() => setOver(false)}
      onDrop={(event) => {
        event.preventDefault();
        event.stopPropagation();
        setOver(false);
        void take(event.dataTransfer?.files[0]);
      }}
    >
      <button type="button" disabled={work.value !== null} onClick={() => input.current?.click()}>
        {props.words}…
      </button>
      <input
        ref={input}
        type="file"
        hidden
        aria-label={props.words}
        accept="audio/*,.wav,.flac,.mp3,.ogg,.oga,.opus"
        onChange={(event) => {
          void take(event.currentTarget.files?.[0]);
          event.currentTarget.value = "";
        }}
      />
      <span role="status" class="quiet">
        {(mine ? work.value : null) ?? "or drop a file here"}
      </span>
      {mine && trouble.value !== null && (
        <p class="trouble" role="alert">
          {trouble.value}
        </p>
      )}
    </div>
  );
}
