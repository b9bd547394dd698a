import { ELASTIC_INPUTS } from "../../inputs/elastic-inputs.ts";
import { elasticCautions } from "../../launch/elastic/elastic-cautions.ts";
import { showExact, type UnitSet } from "../../quantity/display.ts";
import type { ElasticLauncher } from "../../session/schema.ts";
import { type Fact, sayer, unbroken } from "../launcher-facts.ts";
import type { LauncherKindModel } from "../launcher-kind-model.ts";
import { type LauncherSetting, lengthRange, MASS_SETTING } from "../launcher-setting.ts";
import { elasticSketch } from "./elastic-sketch.ts";
import { elasticTunable } from "./elastic-tunable.ts";
import { freshElastic } from "./fresh-elastic.ts";
import { elasticShotCautions, loadedLine, predictElasticShot } from "./predict-elastic-shot.ts";

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
  guessed: freshElastic,
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
    ofShot: (launcher, { units }) => elasticShotCautions(launcher, units),
    ofKind: (units) => elasticCautions(null, false, units),
    standing: () => [],
    ofStoredEnergy: () => [],
    closing: [],
  },
  settings: [DRAW, MASS_SETTING],
  directionRad: ({ angleRad }) => angleRad,
  travelM: () => null,
  limits: ({ stretchLimit, anchorRatedLoadN, carriageKg, endStop }) => ({
    stretch: stretchLimit ?? null,
    anchor: anchorRatedLoadN ?? null,
    ...((endStop || carriageKg.value > 0) && { "carriage-stop": endStop?.ratedLoadN ?? null }),
  }),
  loads: () => [],
  sketch: elasticSketch,
  facts(launcher, units) {
    const { lines, drawM, carriageKg, angleRad } = launcher;
    const say = sayer(units);
    return [
      ["Lines", `${lines}, drawn out ${say(drawM, "m")}`],
      ["Carriage", say(carriageKg, "kg")],
      ["Pull direction", `${say(angleRad, "rad")} above the horizontal`],
      ...statedLimits(launcher, units),
    ];
  },
};

/** What line, anchor and stop are stated to take; a line of the list each. */
function statedLimits(
  { freeLengthM, stretchLimit, anchorRatedLoadN, endStop }: ElasticLauncher,
  units: UnitSet,
): readonly Fact[] {
  const say = sayer(units);
  const load = (newtons: number) => `rated ${unbroken(showExact(newtons, "N", units))}`;
  const rated = endStop?.ratedLoadN == null ? "no rating given" : load(endStop.ratedLoadN);
  return [
    ...(freeLengthM ? [["Free length of a line", say(freeLengthM, "m")] as const] : []),
    ...(stretchLimit == null
      ? []
      : [["Greatest stretch", `${showExact(stretchLimit, "1", units)} times the free length`] as const]),
    ...(anchorRatedLoadN == null ? [] : [["Anchor", load(anchorRatedLoadN)] as const]),
    ...(endStop
      ? [["Carriage's stop", `buffer of ${say(endStop.bufferTravelM, "m")}, ${rated}`] as const]
      : []),
  ];
}
