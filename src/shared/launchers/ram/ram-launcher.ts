import { RAM_INPUTS } from "../../inputs/ram-inputs.ts";
import { loadedRam } from "../../launch/ram/ram-measured.ts";
import { measuredStoredEnergy } from "../../launch/ram/stored-energy.ts";
import { pressureCautions, RAM_CAUTIONS } from "../../launch/ram/tank-cautions.ts";
import { ratingLeft } from "../../launch/ram/tank-rating.ts";
import { showExact } from "../../quantity/display.ts";
import { asFault } from "../../quantity/notice.ts";
import { MODEL_NOTICES } from "../../results/notices/model-notices.ts";
import type { RamLauncher } from "../../session/schema.ts";
import { litres, millimetres, sayer, unbroken } from "../launcher-facts.ts";
import type { LauncherKindModel } from "../launcher-kind-model.ts";
import { freshRam, GUESSED_EXPONENT, GUESSED_ROD_CHAMBER } from "./fresh-ram.ts";
import { predictRamShot, ramShotCautions } from "./predict-ram-shot.ts";
import { RAM_SETTINGS } from "./ram-settings.ts";
import { ramSignatures } from "./ram-signatures.ts";
import { ramSketch } from "./ram-sketch.ts";
import { ramTunable } from "./ram-tunable.ts";

const MATERIALS = { metal: "metal", "plastic-pipe": "plastic pipe", unknown: "material not stated" } as const;

/** A ram driven by a tank of compressed air. */
export const RAM_LAUNCHER: LauncherKindModel<RamLauncher> = {
  words: "compressed-air ram",
  inputs: RAM_INPUTS,
  guessed: () => ({
    ...freshRam(),
    rodChamber: GUESSED_ROD_CHAMBER,
    polytropicExponent: GUESSED_EXPONENT,
  }),
  hasTank: true,
  pushesAfterRelease: false,
  push: {
    predict: predictRamShot,
    likely: ["valve.conductance", "slidingN", "openingS"],
    tunable(launcher, { id, airframe, massKg, conditions }) {
      const { gaugePressurePa } = conditions;
      if (gaugePressurePa === null) {
        const fault = MODEL_NOTICES["no-gauge-pressure"](`shot "${id}"`, ", or leave this shot out");
        return { ok: false, fault: asFault(fault) };
      }
      return {
        ok: true,
        model: ramTunable(loadedRam(launcher, airframe, massKg, gaugePressurePa, conditions)),
      };
    },
    signatures(launcher, { airframe, conditions, units }, joint) {
      const { gaugePressurePa } = conditions;
      if (airframe.massKg === null || gaugePressurePa === null) return null;
      const ram = loadedRam(launcher, airframe, airframe.massKg, gaugePressurePa, conditions);
      return ramSignatures(ram, units, joint);
    },
  },
  cautions: {
    ofShot: ramShotCautions,
    ofKind: () => RAM_CAUTIONS,
    standing: (launcher, units) =>
      pressureCautions({ ...launcher, gaugePressurePa: null, storedEnergyJ: null }, units),
    ofStoredEnergy(launcher, { gaugePressurePa, airPressurePa }, predictedJ, units) {
      if (gaugePressurePa === null) return [];
      const storedEnergyJ =
        predictedJ ?? measuredStoredEnergy(gaugePressurePa, launcher.tankVolumeM3, airPressurePa);
      return pressureCautions({ ...launcher, gaugePressurePa, storedEnergyJ }, units);
    },
    closing: RAM_CAUTIONS,
  },
  settings: RAM_SETTINGS,
  directionRad: ({ angleRad }) => angleRad,
  travelM: ({ strokeM }) => strokeM,
  limits: ({ tankRatingPa, ratingShare, reliefPa, endStop, baseRatedLoadN }) => ({
    rating: ratingLeft({ tankRatingPa, ratingShare }),
    ...(reliefPa != null && { relief: reliefPa }),
    "end-stop": endStop?.ratedLoadN ?? null,
    base: baseRatedLoadN ?? null,
  }),
  loads: () => [],
  sketch: ramSketch,
  facts(launcher, units) {
    const say = sayer(units);
    const { tankRatingPa, ratingShare, reliefPa } = launcher;
    const pressure = (pa: number) => unbroken(showExact(pa, "Pa", units));
    const left =
      ratingShare == null || ratingShare === 1
        ? ""
        : ` of which ${Math.round(100 * ratingShare)}\u00a0% count`;
    const rating =
      tankRatingPa === null ? "no maker's rating given" : `rated ${pressure(tankRatingPa)}${left}`;
    const relief = reliefPa == null ? "" : `, relief valve at ${pressure(reliefPa)}`;
    return [
      ["Tank", `${litres(launcher.tankVolumeM3)}, ${MATERIALS[launcher.tankMaterial]}, ${rating}${relief}`],
      ["Bore", millimetres(launcher.boreM)],
      ["Stroke", say(launcher.strokeM, "m")],
      ["Moving mass", `${say(launcher.movingMassKg, "kg")} with the airframe`],
      [
        "Airframe",
        launcher.hold === "latch" ? "latched until the end of the stroke" : "rests against the ram",
      ],
      ["Push direction", `${say(launcher.angleRad, "rad")} above the horizontal`],
    ];
  },
};
