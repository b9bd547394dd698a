import { inputAtPath } from "../inputs/all-inputs.ts";
import { type FoundInput, foundInputs } from "../inputs/found-inputs.ts";
import type { LauncherKind } from "../inputs/input.ts";
import { judgedWords, judgeInput, oddness, valueText, wordsAt } from "../inputs/judge-input.ts";
import type { UnitSet } from "../quantity/display.ts";
import type { Heading } from "../quantity/notice.ts";
import type { FilmedShot } from "./filmed-shot.ts";
import { type DocumentPart, formFaults } from "./form-faults.ts";
import type { LaunchedShot, LaunchInputs, StatedLauncher } from "./launch-inputs.ts";
import type { NextShot, Point, Session } from "./schema.ts";
import { wordPath } from "./word-issue.ts";

type Path = readonly (string | number)[];

/** A number of the document that cannot be, or that is odd, in words for a person. */
export interface InputFault {
  /** "airframe", "launcher" and "tuning" are the one in question; the remedy says which of the lists. */
  readonly path: Path;
  /** The row of the table, or the rule, that it breaks: faults of many entries of a list are of one kind. */
  readonly kind: string;
  readonly state: "impossible" | "odd";
  readonly heading: Heading;
  /** Names the field by words, says the value found and the range. */
  readonly cause: string;
  readonly remedy: string;
}

const AT: Readonly<Record<Heading, string>> = {
  clip: "Clip",
  clock: "Clock",
  scale: "Scale",
  marks: "Marks",
  motion: "Motion",
  model: "Model",
  verdict: "Verdict",
  tuning: "Tuning",
  "next-shot": "Next shot",
};

/**
 * Numbers that cannot be and numbers that are odd, as far as the measurement of one shot rests on them: its
 * own, its camera's, and those that all shots share. Checks of the clock by other shots are left out where
 * those have a fault. Impossible ones come first, in the table's order.
 */
export function measurementFaults(filmed: FilmedShot): readonly InputFault[] {
  const { shot, shotAt, camera, cameraAt, points, allPoints, airframe, airframeAt, site, units } = filmed;
  const own = allPoints.map((point) => (points.includes(point) ? point : null));
  const lists = { points: own, cameras: alone(camera, cameraAt), shots: alone(shot, shotAt) };
  return faultsOf({ ...lists, airframe, site }, null, units, placesIn({ airframe: airframeAt }));
}

/**
 * As measurementFaults, as far as the prediction rests on them: the launcher, the airframe, the shot's
 * air, tuned values in use.
 */
export function predictionFaults(launch: LaunchInputs): readonly InputFault[] {
  const { airframe, points, launcher, tuning, conditions, units, at } = launch;
  const part = { airframe, points, launcher, shots: alone({ conditions }, at.shot) };
  const kind = launcher?.kind ?? null;
  const ofPart = faultsOf(part, kind, units, placesIn(at)).filter(({ path }) => path[0] !== "points");
  const tuned = tuning?.use === true ? tuningFaults(launch, units, placesIn(at)) : [];
  return inOrder([...ofPart, ...tuned]);
}

/** A list of the document in which one entry alone counts, in its place. */
function alone<T>(entry: T, at: number): readonly (T | null)[] {
  return Array.from({ length: at + 1 }, (_, i) => (i === at ? entry : null));
}

/**
 * Whether a fault is one that predictions rest on, so that it is told once where a shot
 * is measured and predicted.
 */
export function isPredictionFault({ path }: InputFault): boolean {
  return path[0] === "airframe" || path[0] === "launcher" || path[0] === "tuning" || path[2] === "conditions";
}

/**
 * The input of launcher, airframe or air that is farthest from what is usual: the likeliest
 * cause of work without end.
 */
export function oddestInput(launch: LaunchedShot & StatedLauncher & Partial<Pick<LaunchInputs, "at">>): {
  readonly words: string;
  readonly value: string;
  readonly path: string;
} | null {
  const { launcher, airframe, conditions, units } = launch;
  const found = foundInputs({ launcher, airframe, shots: [{ conditions }] }, launcher?.kind ?? null);
  const [first, ...rest] = found.filter(({ input }) => input.form === "measured");
  if (first === undefined) return null;
  const { input, value, path } = rest.reduce(
    (most, one) => (oddness(one.input, one.value) > oddness(most.input, most.value) ? one : most),
    first,
  );
  const place = placesIn(launch.at ?? {})(path);
  return { words: wordsAt(input, path), value: valueText(input, value, units), path: wordPath(place) };
}

type Places = (path: Path) => Path;

/** Where in the lists of the document the one airframe, launcher and tuning of a part stand. */
function placesIn(at: Partial<LaunchInputs["at"]>): Places {
  const lists: Readonly<Record<string, Path>> = {
    airframe: ["airframes", at.airframe ?? 0],
    launcher: ["launchers", at.launcher ?? 0],
    tuning: ["tunings", at.tuning ?? 0],
  };
  return ([first, ...rest]) => [...(lists[String(first)] ?? [first as string]), ...rest];
}

/** Of what is wished for the next shot. */
export function nextShotFaults(nextShot: NextShot, units: UnitSet): readonly InputFault[] {
  return faultsOf({ nextShot }, null, units, placesIn({}));
}

/** Of the tuned values, each held against the input of the launcher it stands for. */
function tuningFaults(
  { tuning, launcher }: StatedLauncher,
  units: UnitSet,
  places: Places,
): readonly InputFault[] {
  if (tuning?.tuned == null || launcher === null) return [];
  const { values, others = [], rivals = [] } = tuning.tuned;
  const paths = [...tuning.parameters, ...others.map(({ path }) => path)];
  const named = [
    ...values.map((value, i) => ({
      of: tuning.parameters[i],
      value,
      path: ["tuning", "tuned", "values", i],
    })),
    ...others.map(({ path, value }, i) => ({
      of: path,
      value,
      path: ["tuning", "tuned", "others", i, "value"],
    })),
    ...rivals.flatMap((rival, k) =>
      rival.values.map((value, i) => ({
        of: paths[i],
        value,
        path: ["tuning", "tuned", "rivals", k, "values", i],
      })),
    ),
  ];
  const found = named.flatMap(({ of, value, path }): FoundInput[] => {
    const input = of === undefined ? null : inputAtPath(`launcher.${listPath(of)}`, launcher.kind);
    return input === null ? [] : [{ input: { ...input, heading: "tuning" }, path, ...value }];
  });
  const own = foundInputs({ tuning }, launcher.kind);
  return inOrder([...own, ...found].flatMap((one) => faultOf(one, units, places)));
}

/** Of every number of a session. */
export function sessionFaults(session: Session): readonly InputFault[] {
  const { points, cameras, shots, site, nextShot, airframes, launchers, tunings = [], units } = session;
  const common = faultsOf({ points, cameras, shots, site, nextShot }, null, units, placesIn({}));
  const ofAirframes = airframes.flatMap((airframe, at) =>
    faultsOf({ airframe, points: points.map(onIt(airframe.id)) }, null, units, placesIn({ airframe: at })),
  );
  const ofLaunchers = launchers.flatMap((launcher, at) => {
    const tuning = tunings.findIndex(({ launcherId }) => launcherId === launcher.id);
    const places = placesIn({ launcher: at, tuning });
    return [
      ...faultsOf({ launcher }, launcher.kind, units, places),
      ...tuningFaults({ launcher, tuning: tunings[tuning] }, units, places),
    ];
  });
  const isOwn = ({ path }: InputFault) => path[0] !== "points";
  return inOrder([...ofAirframes.filter(isOwn), ...ofLaunchers, ...common]);
}

function onIt(airframeId: string) {
  return (point: Point) => (point.airframeId === null || point.airframeId === airframeId ? point : null);
}

/** @param kind of the launcher in the part; null where it holds none */
function faultsOf(
  part: DocumentPart,
  kind: LauncherKind | null,
  units: UnitSet,
  places: Places,
): readonly InputFault[] {
  return inOrder([
    ...foundInputs(part, kind).flatMap((found) => faultOf(found, units, places)),
    ...formFaults(part).map(({ path, heading, cause, remedy }) => ({
      path,
      kind: cause,
      state: "impossible" as const,
      heading,
      cause,
      remedy: `${remedy} ${inDocument(places(path))}`,
    })),
  ]);
}

function faultOf(
  { input, path, value, u }: FoundInput,
  units: UnitSet,
  places: Places,
): readonly InputFault[] {
  const judged = judgeInput(input, value, u);
  if (judged === null) return [];
  const { cause, slip } = judgedWords(input, judged, value, u, units, wordsAt(input, path));
  const at = judged.part === "u" ? [...path, "u"] : u === null ? path : [...path, "value"];
  const there = `Correct it under ${AT[input.heading]}`;
  const remedy = judged.state === "impossible" ? `${there}.` : `${there}, or leave it if it is right.`;
  return [
    {
      path,
      kind: input.path,
      state: judged.state,
      heading: input.heading,
      cause,
      remedy: [...(slip === "" ? [] : [slip]), remedy, inDocument(places(at))].join(" "),
    },
  ];
}

/** Where it stands for who reads the file itself. */
function inDocument(path: Path): string {
  return `In the document it is ${wordPath(path)}.`;
}

function inOrder(faults: readonly InputFault[]): readonly InputFault[] {
  return [
    ...faults.filter(({ state }) => state === "impossible"),
    ...faults.filter(({ state }) => state === "odd"),
  ];
}

/** "motors.0.delayS" as the table has it: "motors[].delayS". */
function listPath(path: string): string {
  return path.replace(/\.\d+(?=\.|$)/g, "[]");
}
