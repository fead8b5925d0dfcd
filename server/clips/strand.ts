/** The kinds of content that clips carry; how each is encoded is a mapping (schemas/mapping.ts). */
export const STRANDS = ["sounds", "record", "fader", "groups", "beat"] as const;
export type Strand = (typeof STRANDS)[number];
