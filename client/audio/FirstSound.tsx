/** The caution about loudness, said once in this browser, before the first sound. */
import { useEffect, useRef } from "preact/hooks";
import { cautionDue, heedCaution } from "./caution.ts";

export function FirstSound() {
  const ref = useRef<HTMLDialogElement>(null);
  const due = cautionDue.value;
  useEffect(() => {
    if (due && ref.current?.open === false) ref.current.showModal();
  }, [due]);
  return (
    <dialog
      ref={ref}
      aria-label="Before the first sound"
      onClose={() => {
        cautionDue.value = false;
      }}
    >
      <h2>Before the first sound</h2>
      <p>
        Playing starts quiet. Loud sound harms hearing, in headphones and near loudspeakers most of all, and
        the program cannot know how loud it is at your ear. Recognised limits are 80 dBA for 40 hours a week,
        75 dBA for children (WHO-ITU H.870), and 85 dBA for 8 hours at work (NIOSH 98-126). Ringing ears mean
        stop; what lasts is for a hearing professional. Local rules come first.
      </p>
      <div class="line">
        <button
          type="button"
          autofocus
          onClick={() => {
            ref.current?.close();
            heedCaution();
          }}
        >
          Play, quietly
        </button>
        <button type="button" onClick={() => ref.current?.close()}>
          Not now
        </button>
      </div>
    </dialog>
  );
}
