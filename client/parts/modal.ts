/** Dialogs over the page, each open or not as signals say. */
import { useLayoutEffect, useRef } from "preact/hooks";

/**
 * What a dialog needs to stand open as its signals say. The browser tells of a closing later than it closes, and a key in
 * between may open the dialog anew: so the signals are told first, and what is heard afterwards changes them no more.
 * @param isOpen what the signals say
 * @param shut makes them say that it is not open
 * @param shown called each time it has opened
 */
export function useModal(
  isOpen: () => boolean,
  shut: () => void,
  shown?: (dialog: HTMLDialogElement) => void,
) {
  const ref = useRef<HTMLDialogElement>(null);
  const told = useRef(false);
  const stand = (): void => {
    const dialog = ref.current;
    if (dialog === null || dialog.open === isOpen()) return;
    if (dialog.open) putAway(dialog);
    else {
      dialog.showModal();
      shown?.(dialog);
    }
  };
  // Asked while it is drawn, so that it is drawn anew where the signals say otherwise; and done before it is painted: the
  // next key is meant for it.
  isOpen();
  useLayoutEffect(stand);
  return {
    ref,
    onCancel(): void {
      told.current = true;
      shut();
    },
    onClose(): void {
      if (!told.current) shut();
      told.current = false;
      stand();
    },
  };
}

/** Closes a dialog of this page as Escape does. */
export function putAway(dialog: HTMLDialogElement | null): void {
  dialog?.dispatchEvent(new Event("cancel"));
  dialog?.close();
}
