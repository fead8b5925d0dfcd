/**
 * A file's name that downloads it when pressed, and is the file itself when dragged out; where it takes two lines, the
 * second begins with one of its parts.
 */
import { download, dragOut, makeReady } from "./take.ts";

export function FileButton({ path, file, type }: { path: string; file: string; type: string }) {
  const near = (): void => void makeReady(path);
  return (
    <button
      type="button"
      class="plain"
      draggable
      onPointerEnter={near}
      onFocus={near}
      onDragStart={(event) => dragOut(event, path, file, type)}
      onClick={() => void download(path, file)}
    >
      {file.split("_").map((part, at) => (
        <>
          {at > 0 && (
            <>
              _<wbr />
            </>
          )}
          {part}
        </>
      ))}
    </button>
  );
}
