import { launcherInUse } from "../predict/launcher-in-use.ts";
import { lastOf } from "../quantity/known-element.ts";
import type { Measured, Unit } from "../quantity/measured.ts";
import { MODEL_NOTICES } from "../results/notices/model-notices.ts";
import type { Launcher, NextShot, Session, Shot } from "../session/schema.ts";
import { type NextNotice, SETTING_NOTICES } from "./next-notices.ts";

export type Choose = NextShot["choose"];

/** The one input that is changed to get the wanted speed. */
export interface Setting {
  readonly choose: Choose;
  /** What a person calls it, e.g. "Tank pressure, gauge". */
  readonly field: string;
  readonly symbol: string;
  readonly unit: Unit;
  /** What it is now; null when not known. */
  readonly now: number | null;
  /** Standard uncertainty with which it is set or read. */
  readonly u: number;
  /** Between which values it is looked for. */
  readonly low: number;
  readonly high: number;
  /** Session and shot with the input at x. */
  readonly at: (x: number, u?: number) => Changed;
}

export interface Changed {
  readonly session: Session;
  readonly shot: Shot;
}

export type SettingOrWhyNot =
  | { readonly ok: true; readonly value: Setting }
  | { readonly ok: false; readonly notice: NextNotice };

/** What can be changed on each kind of launcher; the first is what one thinks of first. */
const CHOICES: Readonly<Record<Launcher["kind"], readonly Choose[]>> = {
  "compressed-air-ram": ["pressure", "mass", "stroke"],
  "rocket-boost": ["motor", "mass", "stroke"],
  "elastic-line": ["draw", "mass"],
  "no-model": [],
};

/** What can be changed on a launcher to change the release speed; none where no model says what it would do. */
export function choicesFor(launcher: Launcher | null): readonly Choose[] {
  return launcher === null ? [] : CHOICES[launcher.kind];
}

/**
 * The input to change, with the limits within which it is looked for: pressure up to a quarter above the maker's rating (twice the greatest
 * used, and at least 10 bar, when none is stated), so that a wanted speed beyond the rating can be seen to be; mass from half to twice;
 * stroke or cradle from a tenth to twice; thrust from a fifth to five times; the draw as far as the force was measured.
 */
export function settingOf(session: Session, shot: Shot, choose: Choose): SettingOrWhyNot {
  const { airframe } = session;
  const { launcher } = launcherInUse(session);
  if (launcher === null) {
    return whyNot(MODEL_NOTICES["no-launcher"]());
  }
  if (launcher.kind === "no-model") {
    return whyNot(SETTING_NOTICES["no-model"]());
  }
  if (!choicesFor(launcher).includes(choose)) {
    const can = choicesFor(launcher).map((one) => WORDS[one]);
    return whyNot(SETTING_NOTICES["not-on-this-launcher"](WORDS[choose], can));
  }
  if (choose === "mass") {
    const { massKg } = airframe;
    if (massKg === null) return whyNot(MODEL_NOTICES["no-airframe-mass"]());
    return setting(choose, massKg, [massKg.value / 2, massKg.value * 2], (value, u) => ({
      session: { ...session, airframe: { ...airframe, massKg: { value, u } } },
      shot,
    }));
  }
  switch (launcher.kind) {
    case "compressed-air-ram":
      return choose === "pressure"
        ? pressureSetting(session, shot, launcher.tankRatingPa)
        : lengthSetting(session, shot, choose, "strokeM", launcher.strokeM, [0.1, 2]);
    case "rocket-boost":
      return choose === "stroke"
        ? lengthSetting(session, shot, choose, "railM", launcher.railM, [0.1, 2])
        : thrustSetting(session, shot, launcher);
    case "elastic-line": {
      const ends = [launcher.loading, launcher.unloading ?? launcher.loading].map(
        (table) => lastOf(table)[0],
      );
      const { drawM } = launcher;
      return lengthSetting(session, shot, choose, "drawM", drawM, [0.05, Math.min(...ends) / drawM.value]);
    }
  }
}

/** What a person calls each input in the middle of a sentence. */
export const WORDS: Readonly<Record<Choose, string>> = {
  pressure: "tank pressure",
  mass: "airframe's mass",
  stroke: "stroke",
  motor: "motor",
  draw: "draw of the line",
};

const FIELDS: Readonly<Record<Choose, { field: string; symbol: string; unit: Unit }>> = {
  pressure: { field: "Tank pressure, gauge", symbol: "p", unit: "Pa" },
  mass: { field: "All-up mass", symbol: "m", unit: "kg" },
  stroke: { field: "Stroke", symbol: "L", unit: "m" },
  motor: { field: "Thrust, times the present", symbol: "", unit: "1" },
  draw: { field: "Draw of the line", symbol: "x", unit: "m" },
};

function setting(
  choose: Choose,
  now: Measured | null,
  [low, high]: readonly [number, number],
  at: (value: number, u: number) => Changed,
): SettingOrWhyNot {
  const u = now?.u ?? 0;
  return {
    ok: true,
    value: {
      choose,
      ...FIELDS[choose],
      now: now?.value ?? null,
      u,
      low,
      high,
      at: (x, own = u) => at(x, own),
    },
  };
}

/** Where the shot has no pressure yet, the gauge is as good as it was for the others. */
function pressureSetting(session: Session, shot: Shot, ratingPa: number | null): SettingOrWhyNot {
  const used = session.shots.flatMap(({ conditions }) => conditions.gaugePressurePa ?? []);
  const now = shot.conditions.gaugePressurePa;
  const most = ratingPa === null ? Math.max(10e5, ...used.map(({ value }) => 2 * value)) : 1.25 * ratingPa;
  const u = now?.u ?? Math.max(0, ...used.map((one) => one.u));
  const made = setting(
    "pressure",
    { value: now?.value ?? Number.NaN, u },
    [most / 100, most],
    (value, own) => ({
      session,
      shot: { ...shot, conditions: { ...shot.conditions, gaugePressurePa: { value, u: own } } },
    }),
  );
  return made.ok ? { ok: true, value: { ...made.value, now: now?.value ?? null } } : made;
}

/** A length of the launcher; a tuned value of the same input gives way to it. */
function lengthSetting(
  session: Session,
  shot: Shot,
  choose: Choose,
  key: "strokeM" | "railM" | "drawM",
  now: Measured,
  [least, most]: readonly [number, number],
): SettingOrWhyNot {
  const made = setting(choose, now, [now.value * least, now.value * most], (value, u) => ({
    session: withTuned(
      { ...session, launcher: { ...session.launcher!, [key]: { value, u } } as Launcher },
      (path) => path === key,
      () => ({ value, u }),
    ),
    shot,
  }));
  return made.ok && key === "railM" ? { ok: true, value: { ...made.value, field: RAIL } } : made;
}

const RAIL = "Travel on the cradle"; // a rocket's stroke

function thrustSetting(
  session: Session,
  shot: Shot,
  launcher: Extract<Launcher, { kind: "rocket-boost" }>,
): SettingOrWhyNot {
  const times = (x: number) => (one: Measured) => ({ value: one.value * x, u: one.u * x });
  return setting("motor", { value: 1, u: 0 }, [0.2, 5], (x) => ({
    session: withTuned(
      {
        ...session,
        launcher: {
          ...launcher,
          motors: launcher.motors.map((motor) => ({ ...motor, thrustScale: times(x)(motor.thrustScale) })),
        },
      },
      (path) => path.endsWith("thrustScale"),
      times(x),
    ),
    shot,
  }));
}

/** The session with tuned values of the named inputs changed as the launcher's own are. */
function withTuned(
  session: Session,
  isMeant: (path: string) => boolean,
  change: (value: Measured) => Measured,
): Session {
  const { tuning } = session;
  if (tuning?.tuned == null) return session;
  const values = tuning.tuned.values.map((value, i) =>
    isMeant(tuning.parameters[i] ?? "") ? change(value) : value,
  );
  const others = tuning.tuned.others?.map((one) =>
    isMeant(one.path) ? { ...one, value: change(one.value) } : one,
  );
  return { ...session, tuning: { ...tuning, tuned: { ...tuning.tuned, values, ...(others && { others }) } } };
}

function whyNot(notice: NextNotice): SettingOrWhyNot {
  return { ok: false, notice };
}
