import { type Input, MEMORY } from "./input.ts";
import { inputs } from "./rows.ts";

/** The airframe and its points. */
export const AIRFRAME_INPUTS: readonly Input[] = [
  ...inputs("airframe.", "measured", "model", [
    ["massKg", "mass", "Airframe, all-up", "the airframe's mass", [1e-4, 1000], [0.005, 100]],
    [
      "wingAreaM2",
      "area",
      "Wing area",
      "the wing area",
      [1e-6, 100],
      [1e-3, 10],
      `${MEMORY}: from hand-launch gliders to large models`,
    ],
    [
      "liftCoefficientMax",
      "ratio",
      "Greatest lift coefficient",
      "the greatest lift coefficient",
      [0.01, 20],
      [0.2, 5],
      `${MEMORY}: sections from 0.8, slotted flaps to about 4`,
    ],
    ["loadLimitG", "load", "Load limit along the push", "the load limit", [0.01, 1e6], [1, 2000]],
    ["dragAreaM2", "area", "Drag area (coefficient times area)", "the drag area", [1e-9, 100], [1e-5, 2]],
    [
      "liftSlopePerRad",
      "inverse-angle",
      "Lift coefficient per radian",
      "the lift slope",
      [0.01, 100],
      [0.5, 8],
      `${MEMORY}: thin aerofoil theory gives 2π, low aspect ratios less`,
    ],
    ["meanChordM", "length", "Mean chord", "the mean chord", [1e-4, 10], [0.01, 2]],
  ]),
  ...inputs("airframe.", "measured", "model", [
    [
      "pitchInertiaKgM2",
      "inertia",
      "Pitch inertia about the balance point",
      "the pitch inertia",
      [1e-10, 1e5],
      [1e-6, 100],
    ],
    [
      "yawInertiaKgM2",
      "inertia",
      "Yaw inertia about the balance point",
      "the yaw inertia",
      [1e-10, 1e5],
      [1e-6, 100],
    ],
    ["bodyDiameterM", "length", "Diameter of the body", "the diameter of the body", [1e-3, 10], [0.01, 1]],
    [
      "pressureBehindM",
      "length",
      "Centre of pressure behind the balance point",
      "how far the centre of pressure is behind the balance point",
      [-20, 20],
      [-1, 3],
    ],
  ]),
  ...inputs("airframe.centreOfGravity.", "measured", "marks", [
    [
      "alongM",
      "small-length",
      "Balance point behind the forward point",
      "the distance of the balance point from the forward point",
      [-20, 20],
      [-3, 5],
    ],
    [
      "aboveM",
      "small-length",
      "Balance point above the line of the points",
      "the height of the balance point above the line of the points",
      [-20, 20],
      [-2, 2],
    ],
  ]),
  ...inputs("airframe.centreOfGravity.", "measured", "scale", [
    [
      "apartM",
      "small-length",
      "Distance between the two points, taped",
      "the taped distance between the two points",
      [1e-4, 20],
      [0.01, 10],
    ],
  ]),
  ...inputs("points[].body.", "measured", "scale", [
    [
      "forwardM",
      "small-length",
      "Ahead of the balance point",
      "the place of a point ahead",
      [-20, 20],
      [-5, 5],
    ],
    ["upM", "small-length", "Above the balance point", "the place of a point above", [-20, 20], [-2, 2]],
  ]),
];
