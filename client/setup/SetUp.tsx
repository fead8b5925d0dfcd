/** The set-up of the routine: decks, hands, and the limits of the user's own hands. Reached from every screen. */
import { signal } from "@preact/signals";
import { useActions } from "../state/actions.ts";
import type { SetRig } from "../../schemas/edit.ts";
import type { Rig } from "../../schemas/routine.ts";
import { change, undo, undoWords } from "../state/change.ts";
import { opened } from "../state/shown.ts";
import { useModal } from "../parts/modal.ts";
import { LIMITS, LimitFields, takeDefaults } from "./LimitFields.tsx";

export const setUpOpen = signal(false);
/** The field to begin in, by its label. */
let wanted: string | null = null;

const set = (what: SetRig, words: string): void => change({ kind: "change-rig", set: what }, words);

const PLATTERS = [
  [33, "33⅓: 200 degrees a second"],
  [45, "45: 270 degrees a second"],
  [78, "78: 468 degrees a second"],
] as const;
const SIDES = [null, "left", "right"] as const;
type Side = (typeof SIDES)[number];
const sideWords = (side: Side): string => side ?? "not said";
const setPlatter = (platter: 33 | 45 | 78): void => set({ platter }, "Change the platter’s speed");
const setRecordHand = (recordHand: Side): void => set({ recordHand }, "Change the record hand");
const setTurntable = (turntable: Side): void => set({ turntable }, "Change the turntable’s side");
const setReversed = (on: boolean): void => set({ reversedFader: on || null }, "Turn the fader round");

/** All that can be set here, also while it is shut. */
function useSetUpActions(): void {
  const none = (): boolean => opened.value === null;
  const act = (id: string, name: string, run: () => void) => ({
    id: `set-${id}`,
    name,
    keys: [],
    run,
    disabled: none,
  });
  useActions("Set-up", [
    ...PLATTERS.map(([turns]) =>
      act(`platter-${turns}`, `The platter turns at ${turns === 33 ? "33⅓" : turns} a minute`, () =>
        setPlatter(turns),
      ),
    ),
    ...SIDES.map((side) =>
      act(`hand-${side}`, `The record hand is the: ${sideWords(side)}`, () => setRecordHand(side)),
    ),
    ...SIDES.map((side) =>
      act(`side-${side}`, `The turntable stands on the: ${sideWords(side)}`, () => setTurntable(side)),
    ),
    act("reversed", "The crossfader is reversed, or no longer", () =>
      setReversed(opened.value?.routine.rig?.reversedFader !== true),
    ),
    ...LIMITS.map(({ says }) =>
      act(`limit-${says}`, `Limit: ${says}`, () => {
        wanted = says;
        setUpOpen.value = true;
      }),
    ),
    act("limits", "All limits as where nothing is said", takeDefaults),
  ]);
}

const isOpen = (): boolean => setUpOpen.value && opened.value !== null;
const shut = (): void => {
  setUpOpen.value = false;
};

export function SetUp() {
  const modal = useModal(isOpen, shut, (dialog) => {
    dialog.querySelector<HTMLElement>(`input[aria-label="${wanted}"]`)?.focus();
    wanted = null;
  });
  useSetUpActions();
  const rig = opened.value?.routine.rig ?? {};
  return (
    <dialog {...modal} class="set-up" aria-labelledby="set-up-title">
      {isOpen() && (
        <>
          <div class="line set-up-head">
            <h2 id="set-up-title">Set-up</h2>
            <button type="button" class="plain" disabled={undoWords.value === null} onClick={undo}>
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
        <span>The platter’s turns a minute</span>
        <select
          value={rig.platter ?? 33}
          onChange={(e) => setPlatter(Number(e.currentTarget.value) as 33 | 45 | 78)}
        >
          {PLATTERS.map(([turns, words]) => (
            <option key={turns} value={turns}>
              {words}
            </option>
          ))}
        </select>
      </label>
      <SideField label="The record hand is the" now={rig.recordHand} keep={setRecordHand} />
      <SideField label="The turntable stands on the" now={rig.turntable} keep={setTurntable} />
      <label class="field">
        <input
          type="checkbox"
          checked={rig.reversedFader === true}
          onChange={(e) => setReversed(e.currentTarget.checked)}
        />
        <span>The crossfader is reversed: the hand moves the other way, the sound is the same</span>
      </label>
    </fieldset>
  );
}

function SideField(props: { label: string; now: "left" | "right" | undefined; keep: (side: Side) => void }) {
  return (
    <label class="field">
      <span>{props.label}</span>
      <select
        value={props.now ?? ""}
        onChange={(e) => props.keep(SIDES.find((side) => side === e.currentTarget.value) ?? null)}
      >
        {SIDES.map((side) => (
          <option key={side} value={side ?? ""}>
            {sideWords(side)}
          </option>
        ))}
      </select>
    </label>
  );
}
