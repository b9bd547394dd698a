import type {
  Airframe,
  Launcher,
  ListedAirframe,
  ListedLauncher,
  ListedTuning,
  Session,
  Tuning,
} from "../../src/shared/session/schema.ts";

/** What a session is to be about where it has one of each. */
interface OneOfEach {
  readonly airframe?: Airframe;
  readonly launcher?: Launcher | null;
  readonly tuning?: Tuning | undefined;
}

export const LAUNCHER = "launcher-1";

/**
 * A session with one airframe, one launcher and its tuning: those given, in place of its own. Every shot
 * throws that airframe from that launcher, "launcher-1" where the session has none yet.
 */
export function oneOfEach({ airframe, launcher, tuning, ...session }: Session & OneOfEach): Session {
  const [first] = session.airframes as [ListedAirframe];
  const airframes = airframe === undefined ? session.airframes : [{ ...first, ...airframe, id: first.id }];
  const launchers =
    launcher === undefined
      ? session.launchers
      : launcher === null
        ? []
        : [{ ...launcher, id: session.launchers[0]?.id ?? LAUNCHER }];
  const launcherId = launchers[0]?.id ?? null;
  const shots = session.shots.map((shot) => ({ ...shot, airframeId: first.id, launcherId }));
  const { tunings, ...rest } = session;
  const tuned: readonly ListedTuning[] =
    tuning === undefined || launcherId === null ? (tunings ?? []) : [{ ...tuning, launcherId }];
  const kept = tuned.filter((one) => one.launcherId === launcherId);
  return { ...rest, airframes, launchers, shots, ...(kept.length > 0 && { tunings: kept }) };
}

/** The first airframe and launcher of a session, and what that was tuned to. */
export function firstOf({ airframes, launchers, tunings }: Session): {
  readonly airframe: ListedAirframe;
  readonly launcher: ListedLauncher | null;
  readonly tuning: ListedTuning | undefined;
} {
  const launcher = launchers[0] ?? null;
  return {
    airframe: airframes[0] as ListedAirframe,
    launcher,
    tuning: tunings?.find(({ launcherId }) => launcherId === launcher?.id),
  };
}
