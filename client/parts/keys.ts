/** Names of MIDI keys, by the user's custom for the octave of key 60, and of General MIDI percussion. */

const NOTES = ["C", "C♯", "D", "D♯", "E", "F", "F♯", "G", "G♯", "A", "A♯", "B"];

/** @param middle the octave number of key 60 */
export const keyName = (key: number, middle: number): string =>
  `${NOTES[key % 12]}${Math.floor(key / 12) - 5 + middle}`;

/** General MIDI Level 1 (35 to 81) and Level 2 (27 to 34, 82 to 87) percussion. */
const PERCUSSION: Readonly<Record<number, string>> = Object.fromEntries(
  [
    "high Q,slap,scratch push,scratch pull,sticks,square click,metronome click,metronome bell",
    "acoustic bass drum,bass drum 1,side stick,acoustic snare,hand clap,electric snare,low floor tom,closed hi-hat",
    "high floor tom,pedal hi-hat,low tom,open hi-hat,low-mid tom,hi-mid tom,crash cymbal 1,high tom,ride cymbal 1",
    "chinese cymbal,ride bell,tambourine,splash cymbal,cowbell,crash cymbal 2,vibraslap,ride cymbal 2,hi bongo",
    "low bongo,mute hi conga,open hi conga,low conga,high timbale,low timbale,high agogo,low agogo,cabasa,maracas",
    "short whistle,long whistle,short guiro,long guiro,claves,hi wood block,low wood block,mute cuica,open cuica",
    "mute triangle,open triangle,shaker,jingle bell,belltree,castanets,mute surdo,open surdo",
  ]
    .join(",")
    .split(",")
    .map((name, index) => [27 + index, name]),
);

export const percussionName = (key: number): string | undefined => PERCUSSION[key];

/** "29, F1, scratch push": the number always beside the name. */
export function keyWords(key: number, middle: number, percussion: boolean): string {
  const drum = percussion ? percussionName(key) : undefined;
  return `${key} (${keyName(key, middle)}${drum === undefined ? "" : `, ${drum}`})`;
}
