import { FIRST_AIRFRAME } from "./fresh.ts";

type Json = Readonly<Record<string, unknown>>;

const FIRST_LAUNCHER = "launcher-1";

/**
 * A document of version 2, which held one airframe and at most one launcher, in the form that lists them: its
 * shots name the one there is, and its points on the airframe belong to it. A tuning without a launcher told
 * nobody anything, and goes.
 */
export function severalThings({ airframe, launcher, tuning, ...document }: Json): Json {
  const hasLauncher = isObject(launcher);
  const names = { airframeId: FIRST_AIRFRAME, launcherId: hasLauncher ? FIRST_LAUNCHER : null };
  return {
    ...document,
    points: eachOf(document.points, (point) => ({
      ...point,
      airframeId: point.on === "airframe" ? FIRST_AIRFRAME : null,
    })),
    airframes: [isObject(airframe) ? { id: FIRST_AIRFRAME, ...airframe } : airframe],
    launchers: hasLauncher ? [{ id: FIRST_LAUNCHER, ...launcher }] : [],
    shots: eachOf(document.shots, (shot) => ({ ...shot, ...names })),
    ...(hasLauncher && isObject(tuning) && { tunings: [{ launcherId: FIRST_LAUNCHER, ...tuning }] }),
  };
}

/** Whatever is no list of objects is left as it is, for the schema to refuse. */
function eachOf(list: unknown, change: (entry: Json) => Json): unknown {
  return Array.isArray(list) ? list.map((entry) => (isObject(entry) ? change(entry) : entry)) : list;
}

function isObject(value: unknown): value is Json {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
