import { RAM_CYLINDER, RAM_MOVING, RAM_SEAT, RAM_TANK } from "../../inputs/ram-rows.ts";
import type { RamLauncher } from "../../session/schema.ts";
import { airframeShapes } from "../airframe-sketch.ts";
import {
  arrow,
  box,
  disc,
  grown,
  label,
  line,
  measure,
  area as outline,
  type Sketch,
  type SketchPart,
} from "../sketch.ts";

const VALVE = 16;
const PISTON = 7;
const CRADLE = 5;
const AIRFRAME = 78;
const CONDUCTANCE = [5e-10, 5e-6] as const; // as plausible for a valve

/** Where the parts lie along the push, counted from the closed end of the barrel, and half their widths. */
interface Lengths {
  readonly bore: number;
  readonly piston: number;
  readonly muzzle: number;
  readonly cradle: number;
  readonly tank: readonly [length: number, half: number];
}

/** A ram at rest: tank, valve, barrel with its piston, rod and cradle, and the airframe before it. */
export function ramSketch(launcher: RamLauncher): Sketch {
  const { boreM, strokeM, deadVolumeM3, tankVolumeM3, movingMassKg, angleRad } = launcher;
  const volume = RAM_TANK.tankVolumeM3.plausible;
  const piston = grown(RAM_CYLINDER.deadVolumeM3.plausible, deadVolumeM3.value, 4, 22);
  const muzzle = piston + PISTON + grown(RAM_CYLINDER.strokeM.plausible, strokeM.value, 50, 140);
  const at: Lengths = {
    bore: grown(RAM_CYLINDER.boreM.plausible, boreM.value, 7, 19),
    piston,
    muzzle,
    cradle: grown(RAM_MOVING.movingMassKg.plausible, movingMassKg.value, 8, 18),
    tank: [grown(volume, tankVolumeM3.value, 36, 84), grown(volume, tankVolumeM3.value, 12, 27)],
  };
  const nose = muzzle + 12 + CRADLE + AIRFRAME;
  return {
    parts: [...supply(launcher, at), ...cylinder(launcher, at), ...moved(launcher, at)],
    direction: {
      words: "the push direction",
      name: "angleRad",
      angleRad: angleRad.value,
      pivot: [0, angleRad.value < 0 ? at.bore + 3 : -at.bore - 3],
      arrow: [
        [nose + 6, 0],
        [nose + 34, 0],
      ],
    },
  };
}

function supply({ valve, tankRatingPa }: RamLauncher, { tank }: Lengths): readonly SketchPart[] {
  const [length, half] = tank;
  const [near, far] = [-VALVE - 4, -VALVE - 4 - length];
  const wing = grown(CONDUCTANCE, valve.conductance.value, 4, 10);
  return [
    {
      words: "the tank and what fills it",
      names: ["tankVolumeM3", "tankMaterial", "fill", "supplyGaugePa", "feedConductance"],
      from: ["tankVolumeM3"],
      shapes: [
        outline(
          [near, half - 5],
          [near - 7, half],
          [far + 7, half],
          [far, half - 5],
          [far, 5 - half],
          [far + 7, -half],
          [near - 7, -half],
          [near, 5 - half],
        ),
        label("tank", [(near + far) / 2, 0]),
      ],
    },
    {
      words: "the tank's rating and relief valve",
      names: ["tankRatingPa", "ratingShare", "reliefPa"],
      from: [],
      missing: tankRatingPa === null,
      shapes: [line([far + 12, half], [far + 12, half + 4]), disc([far + 12, half + 10], 6)],
    },
    {
      words: "the valve",
      names: ["valve", "openingS", "openingCurve", "moreValves"],
      from: ["valve.conductance", "openingS"],
      shapes: [
        line([near, 0], [-VALVE, 0]),
        outline([-VALVE, wing], [-VALVE, -wing], [0, wing], [0, -wing]),
        label("valve", [-VALVE / 2, wing], [0, 1]),
      ],
    },
  ];
}

function cylinder(launcher: RamLauncher, { bore, piston, muzzle }: Lengths): readonly SketchPart[] {
  const { rodChamber, endStop, baseRatedLoadN } = launcher;
  const face = piston + PISTON;
  const base = 0.5 * muzzle;
  const rodEnd =
    rodChamber === null ? [] : [line([muzzle, bore], [muzzle, 4]), line([muzzle, -4], [muzzle, -bore])];
  return [
    {
      words: "the base's fixings",
      names: ["baseRatedLoadN"],
      from: [],
      missing: baseRatedLoadN == null,
      shapes: [
        outline([base - 9, -bore], [base + 9, -bore], [base + 14, -bore - 17], [base - 14, -bore - 17]),
      ],
    },
    {
      words: "the dead volume and its gas",
      names: ["deadVolumeM3", "gas", "polytropicExponent"],
      from: ["deadVolumeM3"],
      shapes: [box([0, -bore], [piston, bore])],
    },
    {
      words: "the rod side",
      names: ["rodChamber"],
      from: rodChamber === null ? [] : ["rodChamber.rodDiameterM", "rodChamber.volumeM3"],
      shapes: [box([face, -bore], [muzzle, bore]), ...rodEnd],
    },
    {
      words: "the bore",
      names: ["boreM"],
      from: ["boreM"],
      shapes: [
        line([0, bore], [muzzle, bore]),
        line([0, -bore], [muzzle, -bore]),
        measure([muzzle - 30, -bore], [muzzle - 30, bore]),
        label("bore", [muzzle - 30, -bore], [0, -1]),
      ],
    },
    {
      words: "the stroke",
      names: ["strokeM"],
      from: ["strokeM"],
      shapes: [
        measure([face, bore + 9], [muzzle, bore + 9]),
        label("stroke", [(face + muzzle) / 2, bore + 9], [0, 1]),
      ],
    },
    {
      words: "the end stop",
      names: ["endStop"],
      from: ["endStop.bufferTravelM"],
      missing: endStop === undefined,
      shapes: [
        box([muzzle - 8, 4], [muzzle, bore]),
        box([muzzle - 8, -bore], [muzzle, -4]),
        // between the two the rod would cover it
        ...(endStop === undefined ? [label("?", [muzzle - 4, -bore], [0, -1])] : []),
      ],
    },
  ];
}

function moved(launcher: RamLauncher, at: Lengths): readonly SketchPart[] {
  const { pushBelowM, hold } = launcher;
  const { bore, piston, muzzle } = at;
  const tail = muzzle + 12 + CRADLE;
  const below = pushBelowM?.value ?? 0;
  // a push that passes below the balance point leaves the airframe above the line of the rod
  const up = Math.sign(below) * grown([0, RAM_SEAT.pushBelowM.plausible[1]], below, 0, 12);
  const middle = [tail + AIRFRAME / 2, up] as const;
  return [
    {
      words: "piston, rod and cradle",
      names: ["movingMassKg"],
      from: ["movingMassKg"],
      shapes: [
        box([piston, -bore], [piston + PISTON, bore]),
        box([piston + PISTON, -2], [muzzle + 12, 2]),
        box([muzzle + 12, -at.cradle], [tail, at.cradle]),
      ],
    },
    {
      words: "friction and leak at the piston",
      names: ["slidingN", "breakawayN", "viscousNsPerM", "sealShare", "stribeckMPerS", "leak"],
      from: ["slidingN", "breakawayN", "viscousNsPerM"],
      shapes: [
        box([piston + 1, bore - 3], [piston + PISTON - 1, bore + 2]),
        box([piston + 1, -bore - 2], [piston + PISTON - 1, 3 - bore]),
      ],
    },
    {
      words: "the airframe, how it is held",
      names: ["hold"],
      from: [],
      shapes: [
        ...airframeShapes(middle, AIRFRAME),
        ...(hold === "latch" ? [line([tail - 2, up + 8], [tail + 14, up + 8], [tail + 14, up + 3])] : []),
      ],
    },
    {
      words: "where the push passes the balance point",
      names: ["pushBelowM", "lastSupportM", "lastSupportBehindM", "cradleStiffness", "cradleDamping"],
      from: ["pushBelowM"],
      missing: pushBelowM === undefined,
      shapes: [disc(middle, 6), arrow([tail, 0], [middle[0] - 7, 0])],
    },
  ];
}
