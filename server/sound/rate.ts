export { SAMPLE_RATE as RATE } from "../../schemas/sound.ts";
