import type { Input } from "../inputs/input.ts";
import type { UnitSet } from "../quantity/display.ts";
import type { Measured } from "../quantity/measured.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { ShotPrediction } from "../results/shot-result.ts";
import type { LaunchedShot } from "../session/launch-inputs.ts";
import type { Airframe, Conditions, Launcher } from "../session/schema.ts";
import type { JointInputs } from "../uncertainty/joint-inputs.ts";
import type { Fact } from "./launcher-facts.ts";
import type { LauncherSetting } from "./launcher-setting.ts";
import type { ResidualSignatures } from "./residual-signatures.ts";
import type { Sketch } from "./sketch.ts";
import type { TunableOfShot } from "./tunable-model.ts";

/**
 * Everything that one kind of launcher offers to the rest of the program, which never
 * asks for the kind itself.
 */
export interface LauncherKindModel<L extends Launcher> {
  /** What this kind is called after a launcher's own name: "compressed-air ram". */
  readonly words: string;
  /** The rows of what a person types of it. */
  readonly inputs: readonly Input[];
  /** What stands in one before a person types anything, optional parts included; null where nothing does. */
  guessed(): Launcher | null;
  /** Whether its shots are made with the pressure of a tank. */
  readonly hasTank: boolean;
  /** Whether it goes on pushing the airframe after release. */
  readonly pushesAfterRelease: boolean;
  /** The model of its push; null where none describes it. */
  readonly push: PushModel<L> | null;
  readonly cautions: LauncherCautions<L>;
  /** What can be changed to get a release speed, the first thing one thinks of first. */
  readonly settings: readonly LauncherSetting<L>[];
  /** rad, direction of the push above the horizontal; null where it is not stated. */
  directionRad(launcher: L): Measured | null;
  /** m, from rest to where the airframe is free of it; null where it does not state that by itself. */
  travelM(launcher: L): Measured | null;
  /** Limits of its own that the next shot is held to; one that does not apply to this kind is left out. */
  limits(launcher: L): LauncherLimits;
  /**
   * The launcher with each of several loads it holds, motors in every mount; none where there is nothing to
   * choose from.
   */
  loads(launcher: L, airframe: Airframe): readonly Load[];
  /** How it looks from the side; null where there are no numbers to draw it from. */
  sketch(launcher: L): Sketch | null;
  /** What a report says of it, after its name and kind. */
  facts(launcher: L, units: UnitSet): readonly Fact[];
}

/**
 * How much a prediction says: of the shot alone, where many settings are looked at; or also what its model
 * can tell beside it, at several times the cost: the shots that follow from the same fill, and what a tank
 * that is not at the air's temperature would make of the speed.
 */
export type PredictedExtent = "shot" | "whole";

/** What a model of a push answers. */
export interface PushModel<L extends Launcher> {
  /**
   * The push of one shot, without the flight after it; cautions come with or without a prediction.
   * @param joint inputs whose errors are correlated since they were tuned; null where all are independent
   * @returns prediction null with a refusal where an input is missing or impossible, or nothing is launched
   */
  predict(
    launcher: L,
    shot: LaunchedShot,
    joint: JointInputs | null,
    extent: PredictedExtent,
  ): ShotPrediction;
  /** Paths of the inputs that a person is likely to tune first: what no tape measures. */
  readonly likely: readonly string[];
  /** The push of one shot as tuning sees it; a fault where an input that it needs is not known. */
  tunable(launcher: L, shot: WeighedShot): TunableOfShot;
  /**
   * What a difference between measured and predicted push looks like for each cause that is known; null where
   * none is, an input is missing, or the model gives no launch.
   */
  signatures(launcher: L, shot: LaunchedShot, joint: JointInputs | null): ResidualSignatures | null;
}

/** A shot of an airframe whose mass is known. */
export interface WeighedShot extends Pick<LaunchedShot, "airframe" | "conditions"> {
  /** Of the shot in the document, for words. */
  readonly id: string;
  /** All up. */
  readonly massKg: Measured;
}

/** What a launcher calls for. */
export interface LauncherCautions<L extends Launcher> {
  /** Of one shot, whether it can be predicted or not. */
  ofShot(launcher: L, shot: LaunchedShot): readonly ShotNotice[];
  /** Of the kind alone, where the launcher's numbers are not to be trusted. */
  ofKind(units: UnitSet): readonly ShotNotice[];
  /** Of the launcher alone: a report says these once, where it describes the launcher. */
  standing(launcher: L, units: UnitSet): readonly ShotNotice[];
  /**
   * Of the energy stored for one shot, with what `standing` says; a report says these at the shot.
   * @param storedEnergyJ as predicted; null where it is not
   */
  ofStoredEnergy(
    launcher: L,
    conditions: Conditions,
    storedEnergyJ: Measured | null,
    units: UnitSet,
  ): readonly ShotNotice[];
  /** What a report ends with. */
  readonly closing: readonly ShotNotice[];
}

/** Limits that only some kinds of launcher have; null for one that applies and is not stated. */
export interface LauncherLimits {
  /** Pa gauge, the maker's rating of the tank, lowered for what it has been through. */
  readonly rating?: number | null;
  /** Pa gauge, at which the relief valve opens; left out where there is none. */
  readonly relief?: number;
  /** N, rated load of the weakest joint at the end stop. */
  readonly "end-stop"?: number | null;
  /** N, rated load of the base's fixings. */
  readonly base?: number | null;
  /** 1, greatest extension of the line over its free length. */
  readonly stretch?: number | null;
  /** N, pull of the lines that their anchor is rated for. */
  readonly anchor?: number | null;
  /** N, rated load of the weakest joint at the stop of the carriage. */
  readonly "carriage-stop"?: number | null;
}

/** A launcher that holds one of its loads alone, and the airframe as heavy as that makes it. */
export interface Load {
  readonly name: string;
  readonly launcher: Launcher;
  readonly airframe: Airframe;
}
