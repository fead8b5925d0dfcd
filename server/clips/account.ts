/**
 * What stands in a clip, event by event, for people to look at. It is read from the file's bytes, so that it tells what
 * a DAW will find and not what we meant to write.
 */
import type { ClipAccount, Listed } from "../../schemas/answers.ts";
import { type MidiEvent, parseMidi } from "midi-file";

const utf8 = (raw: string): string =>
  new TextDecoder().decode(Uint8Array.from(raw, (character) => character.charCodeAt(0)));

function listed(event: MidiEvent, tick: number): Listed | null {
  switch (event.type) {
    case "noteOn":
      return {
        tick,
        kind: "note",
        channel: event.channel + 1,
        number: event.noteNumber,
        value: event.velocity,
      };
    case "controller":
      return {
        tick,
        kind: "controller",
        channel: event.channel + 1,
        number: event.controllerType,
        value: event.value,
      };
    case "pitchBend":
      return { tick, kind: "bend", channel: event.channel + 1, value: event.value };
    case "setTempo":
      return { tick, kind: "tempo", value: 60e6 / event.microsecondsPerBeat };
    case "timeSignature":
      return { tick, kind: "metre", text: `${event.numerator}/${event.denominator}` };
    case "marker":
      return { tick, kind: "marker", text: utf8(event.text) };
    case "trackName":
      return { tick, kind: "name", text: utf8(event.text) };
    default:
      return null;
  }
}

/** @param bytes of a file that this program wrote; @param most events at most, the first of each track in turn */
export function accountOf(bytes: Uint8Array, most: number): Omit<ClipAccount, "ppq"> {
  const events: Listed[] = [];
  let count = 0;
  for (const track of parseMidi(bytes).tracks) {
    let tick = 0;
    const sounding = new Map<string, number>();
    for (const event of track) {
      tick += event.deltaTime;
      if (event.type === "noteOff") {
        const at = sounding.get(`${event.channel}/${event.noteNumber}`);
        if (at !== undefined)
          events[at] = { ...(events[at] as Listed), length: tick - (events[at] as Listed).tick };
        continue;
      }
      const one = listed(event, tick);
      if (one === null) continue;
      count++;
      if (events.length >= most) continue;
      if (one.kind === "note") sounding.set(`${(one.channel ?? 1) - 1}/${one.number}`, events.length);
      events.push(one);
    }
  }
  return { events, count };
}
