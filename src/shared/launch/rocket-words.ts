/** What a person calls each input of the rocket boost, and the unit of its SI value. */
export const ROCKET_WORDS = {
  massKg: { words: "all-up mass", unit: "kg" },
  angleRad: { words: "angle of the cradle", unit: "rad" },
  railM: { words: "travel along the cradle", unit: "m" },
  slidingN: { words: "friction along the cradle", unit: "N" },
  boosterKg: { words: "mass of the booster", unit: "kg" },
  dragAreaM2: { words: "drag area", unit: "m²" },
  airPressurePa: { words: "air pressure", unit: "Pa" },
  temperatureK: { words: "air temperature", unit: "K" },
  airDensity: { words: "density of the air", unit: "kg/m³" },
  headwindMPerS: { words: "headwind", unit: "m/s" },
  pitchInertiaKgM2: { words: "pitch inertia", unit: "kg m²" },
  yawInertiaKgM2: { words: "yaw inertia", unit: "kg m²" },
} as const;

export const MOTOR_WORDS = {
  thrustScale: { words: "thrust over the curve", unit: "" },
  propellantKg: { words: "propellant", unit: "kg" },
  aheadM: { words: "nozzle ahead of the centre of gravity", unit: "m" },
  aboveM: { words: "nozzle above the centre of gravity", unit: "m" },
  rightM: { words: "nozzle right of the centre of gravity", unit: "m" },
  tiltUpRad: { words: "thrust turned up", unit: "rad" },
  tiltRightRad: { words: "thrust turned right", unit: "rad" },
  delayS: { words: "ignition delay", unit: "s" },
  ejectionS: { words: "time to the ejection charge", unit: "s" },
} as const;

export const TRAPEZOID_WORDS = {
  totalImpulseNs: { words: "total impulse", unit: "N·s" },
  meanThrustN: { words: "mean thrust", unit: "N" },
  riseS: { words: "rise", unit: "s" },
  fallS: { words: "fall", unit: "s" },
} as const;
