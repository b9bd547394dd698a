import { ELASTIC_INPUTS } from "../../inputs/elastic-inputs.ts";
import { elasticCautions } from "../../launch/elastic/elastic-cautions.ts";
import type { ElasticLauncher } from "../../session/schema.ts";
import { sayer } from "../launcher-facts.ts";
import type { LauncherKindModel } from "../launcher-kind-model.ts";
import { type LauncherSetting, lengthRange, MASS_SETTING } from "../launcher-setting.ts";
import { elasticTunable } from "./elastic-tunable.ts";
import { loadedLine, predictElasticShot } from "./predict-elastic-shot.ts";

/** As far as the force was measured. */
const DRAW: LauncherSetting<ElasticLauncher> = {
  choose: "draw",
  range(launcher, launch) {
    const { loading, unloading, drawM } = launcher;
    const ends = [loading, unloading ?? loading].map((table) => table.at(-1)![0]);
    return lengthRange(launcher, launch, "drawM", [0.05, Math.min(...ends) / drawM.value]);
  },
};

/** An elastic line that is drawn out and let go. */
export const ELASTIC_LAUNCHER: LauncherKindModel<ElasticLauncher> = {
  words: "elastic line",
  inputs: ELASTIC_INPUTS,
  hasTank: false,
  pushesAfterRelease: false,
  push: {
    predict: predictElasticShot,
    likely: ["slidingN", "forceScale"],
    tunable: (launcher, { airframe, massKg, conditions }) => ({
      ok: true,
      model: elasticTunable(loadedLine(launcher, airframe, massKg, conditions)),
    }),
    signatures: () => null,
  },
  cautions: {
    ofShot: (_launcher, { units }) => elasticCautions(null, units),
    ofKind: (units) => elasticCautions(null, units),
    standing: () => [],
    ofStoredEnergy: () => [],
    closing: [],
  },
  settings: [DRAW, MASS_SETTING],
  directionRad: ({ angleRad }) => angleRad,
  travelM: () => null,
  limits: () => ({}),
  loads: () => [],
  facts({ lines, drawM, carriageKg, angleRad }, units) {
    const say = sayer(units);
    return [
      ["Lines", `${lines}, drawn out ${say(drawM, "m")}`],
      ["Carriage", say(carriageKg, "kg")],
      ["Pull direction", `${say(angleRad, "rad")} above the horizontal`],
    ];
  },
};
