/** The set-up of the routine: decks, hands, and the limits of the user's own hands. Reached from every screen. */
import { signal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import type { SetRig } from "../../schemas/edit.ts";
import type { Rig } from "../../schemas/routine.ts";
import { change, opened, undo } from "../state/store.ts";
import { LimitFields } from "./LimitFields.tsx";

export const setUpOpen = signal(false);

const set = (what: SetRig, words: string): void => change({ kind: "change-rig", set: what }, words);

export function SetUp() {
  const ref = useRef<HTMLDialogElement>(null);
  const open = setUpOpen.value && opened.value !== null;
  useEffect(() => {
    if (open && ref.current?.open === false) ref.current.showModal();
    else if (!open) ref.current?.close();
  }, [open]);
  const shut = (): void => {
    setUpOpen.value = false;
  };
  const rig = opened.value?.routine.rig ?? {};
  return (
    <dialog ref={ref} class="set-up" aria-labelledby="set-up-title" onClose={shut}>
      {open && (
        <>
          <div class="line set-up-head">
            <h2 id="set-up-title">Set-up</h2>
            <button type="button" class="plain" disabled={opened.value?.undo == null} onClick={undo}>
              Undo
            </button>
            <button type="button" autofocus onClick={shut}>
              Close
            </button>
          </div>
          <Decks rig={rig} />
          <LimitFields limits={rig.limits ?? {}} />
        </>
      )}
    </dialog>
  );
}

function Decks(props: { rig: Rig }) {
  const { rig } = props;
  return (
    <fieldset>
      <legend>Decks and hands</legend>
      <label class="field">
        <span>The platter turns at</span>
        <select
          value={rig.platter ?? 33}
          onChange={(e) =>
            set({ platter: Number(e.currentTarget.value) as 33 | 45 | 78 }, "Change the platter's speed")
          }
        >
          <option value={33}>33⅓ turns a minute: 200 degrees a second</option>
          <option value={45}>45 turns a minute: 270 degrees a second</option>
          <option value={78}>78 turns a minute: 468 degrees a second</option>
        </select>
      </label>
      <Side
        label="The record hand is the"
        now={rig.recordHand}
        keep={(recordHand) => set({ recordHand }, "Change the record hand")}
      />
      <Side
        label="The turntable stands on the"
        now={rig.turntable}
        keep={(turntable) => set({ turntable }, "Change the turntable's side")}
      />
      <label class="field">
        <input
          type="checkbox"
          checked={rig.reversedFader === true}
          onChange={(e) =>
            set({ reversedFader: e.currentTarget.checked ? true : null }, "Turn the fader round")
          }
        />
        <span>The crossfader is reversed: the hand moves the other way, the sound is the same</span>
      </label>
    </fieldset>
  );
}

function Side(props: {
  label: string;
  now: "left" | "right" | undefined;
  keep: (side: "left" | "right" | null) => void;
}) {
  return (
    <label class="field">
      <span>{props.label}</span>
      <select
        value={props.now ?? ""}
        onChange={(e) => {
          const side = e.currentTarget.value;
          props.keep(side === "left" || side === "right" ? side : null);
        }}
      >
        <option value="">not said</option>
        <option value="left">left</option>
        <option value="right">right</option>
      </select>
    </label>
  );
}
