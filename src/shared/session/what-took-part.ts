import type { ListedAirframe, ListedLauncher, ListedTuning, Session, Shot } from "./schema.ts";

/** What a shot was made with, by their places in the lists of the document. */
export interface TookPart {
  readonly airframe: ListedAirframe;
  readonly airframeAt: number;
  /** null when not said. */
  readonly launcher: ListedLauncher | null;
  /** -1 when not said. */
  readonly launcherAt: number;
  /** undefined when its launcher was never tuned. */
  readonly tuning: ListedTuning | undefined;
  readonly tuningAt: number;
}

/**
 * The airframe that was thrown, what threw it, and what that was tuned to.
 * @throws RangeError when the session has no such airframe, which no valid one lacks
 */
export function whatTookPart(
  { airframes, launchers, tunings = [] }: Pick<Session, "airframes" | "launchers" | "tunings">,
  { airframeId, launcherId }: Pick<Shot, "airframeId" | "launcherId">,
): TookPart {
  const airframeAt = airframes.findIndex(({ id }) => id === airframeId);
  const airframe = airframes[airframeAt];
  if (airframe === undefined) throw new RangeError(`no airframe "${airframeId}"`);
  const launcherAt = launchers.findIndex(({ id }) => id === launcherId);
  const tuningAt = launcherId === null ? -1 : tunings.findIndex((one) => one.launcherId === launcherId);
  return {
    airframe,
    airframeAt,
    launcher: launchers[launcherAt] ?? null,
    launcherAt,
    tuning: tunings[tuningAt],
    tuningAt,
  };
}

/** The launcher that threw a shot; null when not said. */
export function launcherOf(
  { launchers }: Pick<Session, "launchers">,
  shot: Pick<Shot, "launcherId"> | null,
): ListedLauncher | null {
  return launchers.find(({ id }) => id === shot?.launcherId) ?? null;
}

/** The airframe that a shot threw; without a shot the first. */
export function airframeOf(
  { airframes }: Pick<Session, "airframes">,
  shot: Pick<Shot, "airframeId"> | null,
): ListedAirframe {
  return airframes.find(({ id }) => id === shot?.airframeId) ?? (airframes[0] as ListedAirframe);
}

/** What a launcher was tuned to; undefined when it never was. */
export function tuningOf(
  { tunings }: Pick<Session, "tunings">,
  launcherId: string | null,
): ListedTuning | undefined {
  return tunings?.find((one) => one.launcherId === launcherId);
}

/** Lists that were made before: who asks for the same is given the same object. */
const OWN_POINTS = new WeakMap<Session["points"], Map<string, Session["points"]>>();

/** The points that a shot of an airframe can be marked by: those on it, and those on none. */
export function pointsOf(points: Session["points"], airframeId: string): Session["points"] {
  const made = OWN_POINTS.get(points) ?? new Map<string, Session["points"]>();
  OWN_POINTS.set(points, made);
  const before = made.get(airframeId);
  if (before !== undefined) return before;
  const own = points.filter((point) => point.airframeId === null || point.airframeId === airframeId);
  const list = own.length === points.length ? points : own;
  made.set(airframeId, list);
  return list;
}
