/** The caution about loudness, said once in this browser, before the first sound. */
import { putAway, useModal } from "../parts/modal.ts";
import { cautionDue, heedCaution } from "./caution.ts";

export function FirstSound() {
  const modal = useModal(
    () => cautionDue.value,
    () => {
      cautionDue.value = false;
    },
  );
  return (
    <dialog {...modal} aria-label="Before the first sound">
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
            putAway(modal.ref.current);
            heedCaution();
          }}
        >
          Play, quietly
        </button>
        <button type="button" onClick={() => putAway(modal.ref.current)}>
          Not now
        </button>
      </div>
    </dialog>
  );
}
