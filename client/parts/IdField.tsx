/** The id of something, to be changed: whatever refers to it in the routine follows. */
import { Id } from "../../schemas/routine.ts";
import { TextField } from "./Fields.tsx";
import { Help } from "./Help.tsx";

/** @param others of its kind: no two have the same */
export function IdField(props: {
  label?: string;
  id: string;
  others: readonly { readonly id: string }[];
  onId: (to: string) => void;
}) {
  const { label = "Id", id, others, onId } = props;
  const isTaken = (text: string): boolean => text !== id && others.some((one) => one.id === text);
  return (
    <TextField
      key={id}
      label={label}
      shown={<Help term="id">{label}</Help>}
      class="id"
      maxLength={200}
      value={id}
      read={(text) => (Id.safeParse(text).success && !isTaken(text) ? text : null)}
      takes={(text) =>
        isTaken(text)
          ? `Another has the id ${text}. Write one that none has.`
          : "Write lower-case words and figures joined by hyphens, as night-walk-2."
      }
      onValue={(to) => to !== id && onId(to)}
    />
  );
}
