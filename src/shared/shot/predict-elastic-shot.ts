import { modelInput } from "../inputs/model-input.ts";
import { airDensity } from "../launch/air.ts";
import { elasticCautions } from "../launch/elastic-cautions.ts";
import {
  type ElasticInputs,
  elasticInputProblem,
  elasticInputsOf,
  type MeasuredElastic,
  uncertainElastic,
} from "../launch/elastic-inputs.ts";
import type { JointInputs } from "../launch/joint-inputs.ts";
import { type ElasticPrediction, type ElasticRefusal, predictElastic } from "../launch/predict-elastic.ts";
import { aboveZero, propagate, type UncertainInput } from "../launch/propagate.ts";
import { airspeed, stallSpeed } from "../launch/stall.ts";
import { showExact, showMeasured, type UnitSet } from "../quantity/display.ts";
import { STANDARD_GRAVITY } from "../quantity/gravity.ts";
import type { Measured, Quantity, Unit } from "../quantity/measured.ts";
import type { Notice } from "../quantity/notice.ts";
import type { Refusal } from "../quantity/result.ts";
import type { ElasticLauncher, Session, Shot } from "../session/schema.ts";
import { marginNotices } from "./margin-notices.ts";
import { impossibleInput, refusedPrediction } from "./refused-prediction.ts";
import { sampledCurves, sampledStates } from "./sampled-curves.ts";
import type { QuantityName, ShotPrediction } from "./shot-result.ts";

const PART_DRAW = 0.95; // drawn to less than this share of the unloading table, its curve is that of another draw

/**
 * What the elastic-line model says of one shot: the line and the session's airframe. Uncertainties are those of the inputs, taken as
 * independent, to first order; none is added for the model itself. Curves are on the clock with 0 at release, from letting go.
 * @returns prediction null with a refusal notice when an input is missing or impossible or the line does not pull the airframe through;
 * cautions come with or without a prediction
 */
export function predictElasticShot(
  session: Session,
  shot: Shot,
  launcher: ElasticLauncher,
  joint: JointInputs | null = null,
): ShotPrediction {
  const { airframe, units } = session;
  if (airframe.massKg === null) {
    return refusedPrediction(
      elasticCautions(null, units),
      "no-airframe-mass",
      "The mass of the airframe is not known.",
      "Weigh it ready to fly and enter the mass.",
    );
  }
  const line: MeasuredElastic = { ...launcher, airframeMassKg: airframe.massKg };
  const problem = elasticInputProblem(nominal(line));
  if (problem) return impossibleInput(elasticCautions(null, units), launcher.kind, problem);
  const result = predictElastic(nominal(line));
  if (!result.ok) return notLaunched(elasticCautions(null, units), result, units);
  const told = quantitiesOf(session, shot, line, joint);
  if (!told.ok) {
    return refusedPrediction(
      elasticCautions(null, units),
      "uncertainty-unknown",
      `The uncertainty of the prediction cannot be found: a small change of ${modelInput(launcher.kind, told.input).words} keeps the line from pulling the airframe through.`,
      "The launcher is at the edge of what it can pull; check that input.",
    );
  }
  const { quantities, drawnInJ, givenBackJ } = told;
  const { at, pushS, travelM } = result.value;
  return {
    prediction: {
      quantities,
      curves: sampledCurves(sampledStates(at, pushS), pushS, travelM),
      storedEnergyJ: givenBackJ,
    },
    notices: [
      ...marginNotices("predicted", quantities, airframe.loadLimitG),
      ...tableNotices(launcher, drawnInJ, givenBackJ, units),
      ...elasticCautions(givenBackJ, units),
    ],
  };
}

function nominal(line: MeasuredElastic): ElasticInputs {
  return elasticInputsOf(
    line,
    uncertainElastic(line).map(({ value }) => value),
  );
}

const ELASTIC_RESULTS: readonly (readonly [QuantityName, Unit, string])[] = [
  ["releaseTime", "s", "from letting go until the line is slack"],
  ["releaseSpeed", "m/s", "speed when the line is slack"],
  ["peakAcceleration", "m/s²", "greatest acceleration along the pull"],
  ["launchAngle", "rad", "the angle of the launcher: the line pulls along it"],
  ["pushTime", "s", "from letting go until the line is slack"],
  ["stroke", "m", "the draw, less the extension at which the line is slack"],
  ["meanPushAcceleration", "m/s²", "release speed over push time"],
  ["loadFactor", "1", "(peak acceleration + g sin θ)/g, felt along the pull"],
];

const STALL_RESULTS: typeof ELASTIC_RESULTS = [
  ["stallSpeed", "m/s", "√(2 m g/(ρ S C_L)), air density from pressure and temperature"],
  ["stallMargin", "1", "airspeed at release, headwind included, over stall speed"],
];

type Told =
  | {
      readonly ok: true;
      readonly quantities: Readonly<Partial<Record<QuantityName, Quantity>>>;
      readonly drawnInJ: Measured;
      readonly givenBackJ: Measured;
    }
  | { readonly ok: false; readonly input: string };

function quantitiesOf(session: Session, shot: Shot, line: MeasuredElastic, joint: JointInputs | null): Told {
  const { wingAreaM2, liftCoefficientMax } = session.airframe;
  const { headwindMPerS, airPressurePa, temperatureK } = shot.conditions;
  const pull = uncertainElastic(line);
  const wing: UncertainInput[] =
    wingAreaM2 && liftCoefficientMax
      ? [
          aboveZero("wingAreaM2", wingAreaM2),
          aboveZero("liftCoefficientMax", liftCoefficientMax),
          { name: "headwindMPerS", ...headwindMPerS },
          aboveZero("airPressurePa", airPressurePa),
          aboveZero("temperatureK", temperatureK),
        ]
      : [];
  const list = [...pull, ...wing];
  const result = propagate(
    (values) => {
      const inputs = elasticInputsOf(line, values);
      if (elasticInputProblem(inputs)) return null;
      const run = predictElastic(inputs);
      if (!run.ok) return null;
      return [...resultsOf(inputs, run.value), ...stallOf(inputs, run.value, values.slice(pull.length))];
    },
    list,
    joint,
  );
  if (!result.ok) return { ok: false, input: list[result.numbers.input ?? 0]!.name };
  const { values, u } = result.value;
  const bound =
    line.unloading === null ? "; loading curve in place of the unloading one: an upper bound of speed" : "";
  const basis = `elastic line model; u from the inputs, none for the model itself${bound}`;
  const pick = (i: number): Measured => ({ value: values[i]!, u: u[i]! });
  const energies = ELASTIC_RESULTS.length;
  const named = (table: typeof ELASTIC_RESULTS, from: number) =>
    table.map(([name, unit, how], i): [QuantityName, Quantity] => [
      name,
      { ...pick(from + i), unit, how: `${how}; ${basis}` },
    ]);
  return {
    ok: true,
    quantities: Object.fromEntries([
      ...named(ELASTIC_RESULTS, 0),
      ...(wing.length > 0 ? named(STALL_RESULTS, energies + 2) : []),
    ]),
    drawnInJ: pick(energies),
    givenBackJ: pick(energies + 1),
  };
}

/** Stall speed and margin, out of the same draw of the inputs as the pull: the mass acts on both. */
function stallOf(
  { airframeMassKg, angleRad }: ElasticInputs,
  pull: ElasticPrediction,
  wing: readonly number[],
): readonly number[] {
  const [wingAreaM2, liftCoefficientMax, headwind, airPa, airK] = wing;
  if (airK === undefined) return [];
  const least = stallSpeed({
    massKg: airframeMassKg,
    wingAreaM2: wingAreaM2!,
    liftCoefficientMax: liftCoefficientMax!,
    airDensity: airDensity(airPa!, airK),
  });
  return [least, airspeed(pull.releaseSpeedMPerS, angleRad, headwind!) / least];
}

function resultsOf({ angleRad }: ElasticInputs, pull: ElasticPrediction): readonly number[] {
  return [
    pull.pushS,
    pull.releaseSpeedMPerS,
    pull.peakAccelerationMPerS2,
    angleRad,
    pull.pushS,
    pull.travelM,
    pull.releaseSpeedMPerS / pull.pushS,
    pull.peakAccelerationMPerS2 / STANDARD_GRAVITY + Math.sin(angleRad),
    pull.drawnInJ,
    pull.givenBackJ,
  ];
}

/** What the tables say of the energy, and what they do not say. */
function tableNotices(
  { unloading, drawM }: ElasticLauncher,
  drawnInJ: Measured,
  givenBackJ: Measured,
  units: Session["units"],
): readonly Notice[] {
  const energy = (one: Measured) => showMeasured(one, "J", units).text;
  if (unloading === null) {
    return [
      {
        level: "warning",
        code: "elastic-no-unloading",
        cause: `How the line pulls while it is let in is not known. Drawing it out takes ${energy(drawnInJ)}, less comes back: the predicted speed is an upper bound.`,
        remedy:
          "Measure the force at the same extensions while letting the line in, and enter that table too.",
      },
    ];
  }
  const lost = Math.round(100 * (1 - givenBackJ.value / drawnInJ.value));
  const notices: Notice[] = [
    {
      level: "note",
      code: "elastic-energy",
      cause: `Drawing the line out takes ${energy(drawnInJ)}; it gives back ${energy(givenBackJ)}, and ${lost} % stays in it as heat.`,
      remedy: "A table measured slowly leaves out what is lost to speed, and rubber pulls less when cold.",
    },
  ];
  const last = unloading.at(-1)![0];
  if (drawM.value < PART_DRAW * last) {
    notices.push({
      level: "note",
      code: "elastic-longer-draw",
      cause: `The unloading table was let in from ${showExact(last, "m", units)} or more, further than this draw; from a shorter draw the line gives back somewhat more.`,
      remedy: "Measure the unloading table from the draw that is used.",
    });
  }
  return notices;
}

function notLaunched(
  cautions: readonly Notice[],
  { code, numbers }: Refusal<ElasticRefusal>,
  units: UnitSet,
): ShotPrediction {
  const exact = (value: number, unit: Unit) => showExact(value, unit, units, 3);
  switch (code) {
    case "never-moves":
      return refusedPrediction(
        cautions,
        code,
        `The line never moves the airframe: it pulls ${exact(numbers.forceN!, "N")} at the draw, and weight and friction hold ${exact(numbers.neededN!, "N")}.`,
        "Check draw, tables, number of lines, angle and friction.",
      );
    case "stops":
      return refusedPrediction(
        cautions,
        "stalls",
        `The airframe stops after ${exact(numbers.positionM!, "m")} of the ${exact(numbers.travelM!, "m")} to where the line is slack.`,
        "Check draw, tables, angle and friction.",
      );
    case "gives-back-more":
      return refusedPrediction(
        cautions,
        "elastic-gives-back-more",
        `The unloading table holds ${exact(numbers.givenBackJ!, "J")}, more than the ${exact(numbers.drawnInJ!, "J")} of the loading table: no line gives back more than it took.`,
        "Check whether the two tables are exchanged, and the forces in them.",
      );
  }
}
