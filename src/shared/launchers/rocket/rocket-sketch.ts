import { ROCKET_CRADLE } from "../../inputs/rocket-inputs.ts";
import { meanThrust } from "../../launch/rocket/thrust-curve.ts";
import type { Motor, RocketLauncher } from "../../session/schema.ts";
import { airframeShapes } from "../airframe-sketch.ts";
import {
  arrow,
  box,
  disc,
  grown,
  label,
  line,
  measure,
  type Place,
  type Sketch,
  type SketchInset,
  type SketchPart,
} from "../sketch.ts";

const AIRFRAME = 116;
const BODY_UP = 24; // of its middle above the rail
const MOTOR = { length: 24, half: 3.5 };
const FARTHEST = 62; // along the body, of the farthest nozzle from the balance point
const INSET = { width: 84, height: 66, body: 9 };
const MEAN_THRUST = [0.1, 1e4] as const; // N, as plausible for a motor

const BOOSTER: SketchPart = {
  words: "the booster that is dropped",
  names: ["boosterKg"],
  from: ["boosterKg"],
  shapes: [line([2, BODY_UP + 15], [-2, BODY_UP + 15], [-2, BODY_UP - 13], [2, BODY_UP - 13])],
};

/** A cradle with the airframe on it and its motors from the side, and the motors again from behind. */
export function rocketSketch(launcher: RocketLauncher): Sketch {
  const { railM, turnsOnCradle, boosterKg, motors, angleRad } = launcher;
  const rail = grown(ROCKET_CRADLE.railM.plausible, railM.value, 90, 190);
  const balance: Place = [AIRFRAME / 2 + 8, BODY_UP];
  const nothingDropped = boosterKg.value === 0;
  return {
    parts: [
      {
        words: "the travel along the cradle",
        names: ["railM"],
        from: ["railM"],
        shapes: [
          box([0, -4], [rail, 2]),
          measure([0, -12], [rail, -12]),
          label("travel", [rail / 2, -12], [0, -1]),
        ],
      },
      {
        words: "how the airframe slides on the cradle",
        names: ["slidingN", "turnsOnCradle"],
        from: ["slidingN"],
        shapes: [balance[0] - 28, balance[0] + 26].map((x) =>
          box([x - 7, 2], [x + 7, turnsOnCradle ? 9 : 14]),
        ),
      },
      {
        words: nothingDropped ? "the airframe, which drops nothing" : "the airframe",
        names: nothingDropped ? ["boosterKg"] : [],
        from: [],
        shapes: airframeShapes(balance, AIRFRAME),
      },
      ...motors.flatMap((motor, i) => motorParts(motors, motor, i, balance)),
      ...(nothingDropped ? [] : [BOOSTER]),
      { words: "the balance point", names: [], from: [], shapes: [disc(balance, 4)] },
    ],
    direction: {
      words: "the direction of the cradle",
      name: "angleRad",
      angleRad: angleRad.value,
      pivot: [0, angleRad.value < 0 ? 6 : -18],
      arrow: [
        [balance[0] + AIRFRAME / 2 + 6, BODY_UP],
        [balance[0] + AIRFRAME / 2 + 36, BODY_UP],
      ],
    },
    inset: fromBehind(motors),
  };
}

function motorParts(
  motors: readonly Motor[],
  motor: Motor,
  i: number,
  balance: Place,
): readonly SketchPart[] {
  const { aheadM, aboveM, tiltUpRad, lit, thrust } = motor;
  const farthest = Math.max(0.3, ...motors.map(({ aheadM: ahead }) => Math.abs(ahead.value)));
  const highest = Math.max(0.06, ...motors.map(({ aboveM: above }) => Math.abs(above.value)));
  const x = balance[0] + (FARTHEST * aheadM.value) / farthest;
  const y = balance[1] + (14 * aboveM.value) / highest;
  const mean = thrust.by === "curve" ? meanThrust(thrust.points) : thrust.meanThrustN.value;
  const flame = grown(MEAN_THRUST, mean, 10, 40);
  const tilt = Math.max(-0.8, Math.min(0.8, tiltUpRad.value));
  const at = `motors.${i}`;
  return [
    {
      words: `${motor.name}: where it sits`,
      names: [`${at}.aheadM`, `${at}.aboveM`, `${at}.rightM`, `${at}.tiltUpRad`, `${at}.tiltRightRad`],
      from: [`${at}.aheadM`, `${at}.aboveM`],
      shapes: [box([x, y - MOTOR.half], [x + MOTOR.length, y + MOTOR.half])],
    },
    {
      words: lit ? `${motor.name}: its thrust` : `${motor.name}: fails to light`,
      names: [
        `${at}.thrust`,
        `${at}.thrustScale`,
        `${at}.propellantKg`,
        `${at}.delayS`,
        `${at}.ejectionS`,
        `${at}.lit`,
      ],
      from: [`${at}.thrust.totalImpulseNs`, `${at}.thrust.meanThrustN`, `${at}.propellantKg`],
      shapes: lit
        ? [arrow([x - flame * Math.cos(tilt), y - flame * Math.sin(tilt)], [x - 1, y])]
        : [line([x - 12, y + 5], [x - 2, y - 5]), line([x - 12, y - 5], [x - 2, y + 5])],
    },
  ];
}

/** The body and the nozzles as one sees them standing behind: to the right is right. */
function fromBehind(motors: readonly Motor[]): SketchInset {
  const middle: Place = [INSET.width / 2, INSET.height / 2 - 4];
  const farthest = Math.max(
    0.06,
    ...motors.flatMap(({ rightM, aboveM }) => [rightM, aboveM]).map(({ value }) => Math.abs(value)),
  );
  const scale = 22 / farthest;
  return {
    width: INSET.width,
    height: INSET.height,
    parts: [
      {
        words: "the airframe from behind",
        names: [],
        from: [],
        shapes: [
          line([middle[0] - 40, middle[1]], [middle[0] + 40, middle[1]]),
          disc(middle, INSET.body),
          label("from behind", [middle[0], INSET.height - 4]),
        ],
      },
      ...motors.map(({ name, rightM, aboveM }, i): SketchPart => {
        const place: Place = [middle[0] + scale * rightM.value, middle[1] + scale * aboveM.value];
        return {
          words: `${name}: where it sits, from behind`,
          names: [`motors.${i}.rightM`, `motors.${i}.aboveM`, `motors.${i}`],
          from: [`motors.${i}.rightM`, `motors.${i}.aboveM`],
          shapes: [
            disc(place, 5),
            ...(motors.length > 1 ? [label(String(i + 1), [place[0], place[1] + 5], [0, 1])] : []),
          ],
        };
      }),
    ],
  };
}
