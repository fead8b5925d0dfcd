/** The texture of what moves back: one pattern for the whole page, laid over the colour. */
export const STRIPES = "url(#stripes-back)";

export function Stripes() {
  return (
    <svg width="0" height="0" aria-hidden="true" class="unseen">
      <defs>
        <pattern
          id="stripes-back"
          width="6"
          height="6"
          patternUnits="userSpaceOnUse"
          patternTransform="rotate(45)"
        >
          <line class="stripe" x1="0" y1="0" x2="0" y2="6" />
        </pattern>
      </defs>
    </svg>
  );
}
