import { type Input, MEMORY } from "./input.ts";
import { inputs } from "./rows.ts";

/** The air and the tank of a shot, its altimeter, what was tuned, and what is wished for. */
export const SHOT_INPUTS: readonly Input[] = [
  ...inputs("shots[].conditions.", "measured", "model", [
    [
      "gaugePressurePa",
      "pressure",
      "Tank pressure, gauge",
      "the tank's gauge pressure",
      [-2e5, 1e8],
      [-2e4, 4e7],
      `${MEMORY}: up to 300 bar cylinders`,
    ],
    [
      "temperatureK",
      "temperature",
      "Air temperature",
      "the air temperature",
      [150, 400],
      [233, 328],
      `${MEMORY}: −40 to 55 °C, days on which people fly`,
    ],
    [
      "tankTemperatureK",
      "temperature",
      "Tank temperature, where not the air's",
      "the tank's temperature",
      [150, 500],
      [233, 350],
      `${MEMORY}: cold after a shot, to 75 °C when filled fast`,
    ],
    [
      "airPressurePa",
      "air-pressure",
      "Air pressure",
      "the air pressure",
      [1e4, 2e5],
      [5e4, 1.1e5],
      `${MEMORY}: 1085 hPa is the highest at sea level, 500 hPa is at 5.5 km`,
    ],
    ["headwindMPerS", "speed", "Headwind", "the headwind", [-150, 150], [-30, 30]],
    [
      "crosswindMPerS",
      "speed",
      "Crosswind from the left",
      "the crosswind from the left",
      [-150, 150],
      [-30, 30],
    ],
    ["gustMPerS", "speed", "Strongest gust to allow for", "the strongest gust", [0, 150], [0, 35]],
    [
      "releaseHeightM",
      "distance",
      "Height of release above the ground",
      "the height at release",
      [0, 1e4],
      [0, 200],
    ],
    [
      "clearM",
      "distance",
      "Nobody within, down range",
      "the distance within which nobody is",
      [0.1, 1e5],
      [5, 2000],
    ],
  ]),
  ...inputs("shots[].altimeter.", "measured", "verdict", [
    [
      "apogeeM",
      "distance",
      "Greatest height above the launcher",
      "the apogee of the altimeter",
      [1e-3, 1e5],
      [1, 5000],
    ],
  ]),
  ...inputs("shots[].log.", "number", "verdict", [
    [
      "untilS",
      "duration",
      "Fitted until, after release",
      "the stretch of the log that is fitted",
      [0.01, 1000],
      [0.05, 60],
    ],
  ]),
  ...inputs("nextShot.", "measured", "next-shot", [
    ["speedMPerS", "speed", "Wanted release speed", "the wanted release speed", [0.001, 3000], [0.5, 300]],
  ]),
  ...inputs("nextShot.", "number", "next-shot", [
    ["leastStallMargin", "ratio", "Least stall margin", "the least stall margin", [0.01, 1000], [0.3, 10]],
    [
      "cardMassesKg[]",
      "mass",
      "Further mass on the card",
      "a further mass on the card",
      [1e-4, 1000],
      [0.005, 100],
    ],
  ]),
  ...inputs("tuning.tuned.", "number", "tuning", [
    ["scatter", "ratio", "Scatter from shot to shot", "the scatter of the tuned shots", [0, 100], [0, 1]],
    [
      "correlation[][]",
      "ratio",
      "Correlation",
      "a correlation of tuned values",
      [-1.000001, 1.000001],
      [-1.000001, 1.000001],
    ],
  ]),
  ...inputs("tuning.tuned.", "whole", "tuning", [
    ["shotCount", "count", "Shots", "the number of tuned shots", [1, 1e6], [1, 1e5]],
  ]),
];
