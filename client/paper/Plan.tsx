/** The set-up seen from above: where the turntable stands, which hand is where, and where the fader opens. */
import { type Hands, handsText } from "./hands.ts";

const WIDTH = 330;
const HEIGHT = 108;
/** The turntable's square and the mixer's, as they stand with the turntable on the left. */
const TABLE = { x: 4, size: 96 };
const MIXER = { x: 112, width: 72 };

/** Nothing where the rig does not say on which side the turntable stands. */
export function Plan({ hands }: { hands: Hands }) {
  const { record, fader, turntable, opens } = hands;
  if (turntable === null) return null;
  const turned = turntable === "right";
  /** Left edge of something so wide, mirrored with the set-up. */
  const x = (left: number, width: number): number => (turned ? WIDTH - left - width : left);
  const middle = x(TABLE.x, TABLE.size) + TABLE.size / 2;
  const slot = x(MIXER.x + 10, MIXER.width - 20);
  const end = opens === "left" ? slot : slot + MIXER.width - 20;
  const way = opens === "left" ? 1 : -1;
  const words = x(MIXER.x + MIXER.width + 12, 0);
  return (
    <svg class="plan" role="img" aria-label={handsText(hands)} width={WIDTH} height={HEIGHT}>
      <rect class="edge" x={x(TABLE.x, TABLE.size)} y={4} width={TABLE.size} height={TABLE.size} />
      <circle class="edge" cx={middle} cy={52} r={40} />
      <path class="way" d={`M${middle - 24} 40A26 26 0 0 1 ${middle + 24} 40m-9 -3l9 3l2 -9`} />
      <text x={middle} y={62} text-anchor="middle">
        {record} hand
      </text>
      <rect class="edge" x={x(MIXER.x, MIXER.width)} y={4} width={MIXER.width} height={TABLE.size} />
      <path class="edge" d={`M${slot} 84H${slot + MIXER.width - 20}`} />
      <path class="way" d={`M${end + way * 30} 74H${end}m${way * 8} -4l${-way * 8} 4l${way * 8} 4`} />
      <text x={slot + (MIXER.width - 20) / 2} y={62} text-anchor="middle">
        {fader} hand
      </text>
      <text x={words} y={24} text-anchor={turned ? "end" : "start"}>
        forward: clockwise
      </text>
      <text x={words} y={78} text-anchor={turned ? "end" : "start"}>
        opens to the {opens}
      </text>
    </svg>
  );
}
