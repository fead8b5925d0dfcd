/** The rate at which all sound is rendered, under the name that this room uses. */
export { SAMPLE_RATE as RATE } from "../../schemas/sound.ts";
