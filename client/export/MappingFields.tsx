/** Everything that can be said in a mapping, strand by strand. */
import { type Encoding, MAPPING_DEFAULTS } from "../../schemas/mapping.ts";
import { NumberField, TextField, TickField } from "../parts/Fields.tsx";
import { type Alter, KeyField, StrandFields } from "./StrandFields.tsx";

const ONSETS = [
  ["cut", "velocity of a cut"],
  ["turn", "of a turn"],
  ["from-rest", "from rest"],
  ["restart", "of a restart"],
] as const;
/** A channel whose keys are drums by General MIDI. */
const isPercussion = (channel: number): boolean => channel === 10;

/** Low byte 32 above. */
function WideField(props: {
  label: string;
  value: number | "none";
  otherwise: number;
  fine: boolean;
  onValue: (value: number | "none") => void;
}) {
  const { label, value, otherwise, fine, onValue } = props;
  return (
    <span class="field">
      <TickField
        label={value === "none" ? label : ""}
        value={value !== "none"}
        onValue={(on) => onValue(on ? otherwise : "none")}
      />
      {value !== "none" && (
        <>
          <NumberField label={label} value={value} min={0} max={31} onValue={onValue} />
          {fine && <span class="quiet">and {value + 32}</span>}
        </>
      )}
    </span>
  );
}

export function MappingFields({ encoding, alter }: { encoding: Encoding; alter: Alter }) {
  const { sounds, record, fader, groups, beat } = encoding;
  const drums = isPercussion(sounds.channel);
  return (
    <>
      <StrandFields strand="sounds" encoding={encoding} alter={alter}>
        <KeyField
          label="forward"
          value={sounds.forward}
          percussion={drums}
          onValue={(key) => key !== "none" && alter("sounds", { forward: key })}
        />
        <KeyField
          label="back"
          value={sounds.back}
          percussion={drums}
          onValue={(key) => key !== "none" && alter("sounds", { back: key })}
        />
        {ONSETS.map(([onset, words]) => (
          <NumberField
            key={onset}
            label={words}
            value={sounds.velocity[onset]}
            min={1}
            max={127}
            onValue={(value) =>
              alter("sounds", ({ velocity }) => ({ velocity: { ...velocity, [onset]: value } }))
            }
          />
        ))}
      </StrandFields>
      <StrandFields strand="record" encoding={encoding} alter={alter}>
        <TickField label="speed as bend" value={record.bend} onValue={(bend) => alter("record", { bend })} />
        <WideField
          label="speed as controller"
          value={record.speed}
          otherwise={17}
          fine={record.fine}
          onValue={(speed) => alter("record", { speed })}
        />
        <NumberField
          label="full at times platter speed"
          value={record.fullSpeed}
          min={0.25}
          max={64}
          step="any"
          onValue={(fullSpeed) => alter("record", { fullSpeed })}
        />
        <WideField
          label="position as controller"
          value={record.position}
          otherwise={MAPPING_DEFAULTS.record.position}
          fine={record.fine}
          onValue={(position) => alter("record", { position })}
        />
        <TickField label="14 bits" value={record.fine} onValue={(fine) => alter("record", { fine })} />
      </StrandFields>
      <StrandFields strand="fader" encoding={encoding} alter={alter}>
        <span class="field">
          <TickField
            label={fader.controller === "none" ? "controller" : ""}
            value={fader.controller !== "none"}
            onValue={(on) => alter("fader", { controller: on ? MAPPING_DEFAULTS.fader.controller : "none" })}
          />
          {fader.controller !== "none" && (
            <>
              <NumberField
                label="controller"
                value={fader.controller}
                min={0}
                max={119}
                onValue={(controller) => alter("fader", { controller })}
              />
              <NumberField
                label="open"
                value={fader.open}
                min={0}
                max={127}
                onValue={(open) => alter("fader", { open })}
              />
              <NumberField
                label="closed"
                value={fader.closed}
                min={0}
                max={127}
                onValue={(closed) => alter("fader", { closed })}
              />
            </>
          )}
        </span>
        <KeyField
          label="note while open"
          value={fader.key}
          percussion={isPercussion(fader.channel)}
          otherwise={MAPPING_DEFAULTS.fader.key}
          onValue={(key) => alter("fader", { key })}
        />
        <NumberField
          label="velocity"
          value={fader.velocity}
          min={1}
          max={127}
          onValue={(velocity) => alter("fader", { velocity })}
        />
      </StrandFields>
      <StrandFields strand="groups" encoding={encoding} alter={alter}>
        {(["record", "fader", "bar", "beat"] as const).map((field) => (
          <KeyField
            key={field}
            label={field === "record" || field === "fader" ? `${field} group` : field}
            value={groups[field]}
            percussion={isPercussion(groups.channel)}
            otherwise={MAPPING_DEFAULTS.groups[field]}
            onValue={(key) => alter("groups", { [field]: key })}
          />
        ))}
        <NumberField
          label="velocity of groups"
          value={groups.velocity}
          min={1}
          max={127}
          onValue={(velocity) => alter("groups", { velocity })}
        />
      </StrandFields>
      <StrandFields strand="beat" encoding={encoding} alter={alter}>
        <TextField
          label="other keys"
          class="keys"
          value={beat.keys.map(({ key, as }) => `${key}=${as}`).join(" ")}
          read={readKeys}
          takes="Write pairs of keys, 36=35 38=none: the beat’s own, and what is written for it."
          onValue={(keys) => alter("beat", { keys })}
        />
      </StrandFields>
    </>
  );
}

/** "36=35 38=none"; null where it is not that. */
function readKeys(text: string): { key: number; as: number | "none" }[] | null {
  const pairs = text.split(/[\s,]+/).filter((one) => one !== "");
  const read = pairs.map((pair) => /^(\d{1,3})=(\d{1,3}|none)$/.exec(pair));
  const keys = read.map((one) => ({
    key: Number(one?.[1] ?? 999),
    as: one?.[2] === "none" ? ("none" as const) : Number(one?.[2] ?? 999),
  }));
  const fits = keys.every(({ key, as }) => key <= 127 && (as === "none" || as <= 127));
  return fits ? keys : null;
}
