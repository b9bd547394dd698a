import type { z } from "zod";
import { outingShots } from "./outings.ts";
import type { Airframe, Conditions, Launcher, Session, Tuning } from "./schema.ts";
import type { TestedRangeSchema } from "./tuning-schemas.ts";
import { whatTookPart } from "./what-took-part.ts";

/** Between which values of a setting the tuned launcher was shot. */
export type TestedRange = Readonly<z.infer<typeof TestedRangeSchema>>;

/** What a person sets for a shot, as far as the launcher has it. */
export type SettingName = TestedRange["of"];

/** Of one shot: Pa gauge, kg, m, m; what is not known, or not of this launcher, is left out. */
export function settingValues(
  launcher: Launcher | null,
  { massKg }: Pick<Airframe, "massKg">,
  { gaugePressurePa }: Pick<Conditions, "gaugePressurePa">,
): Readonly<Partial<Record<SettingName, number>>> {
  if (launcher === null) return {};
  return {
    ...("tankVolumeM3" in launcher && gaugePressurePa !== null && { pressure: gaugePressurePa.value }),
    ...(massKg !== null && { mass: massKg.value }),
    ...("strokeM" in launcher && { stroke: launcher.strokeM.value }),
    ...("drawM" in launcher && { draw: launcher.drawM.value }),
  };
}

/**
 * Where the shots lie that the values in use were tuned on: pressures and masses of those shots; stroke and
 * draw as the document states them, for a change of these takes tuned values away. Empty where none are in
 * use.
 */
export function testedRanges(session: Session, tuning: Tuning | undefined): readonly TestedRange[] {
  return tuning?.use ? rangesTuned(session, tuning) : [];
}

/** The same whether the tuned values are in use or not; those from elsewhere with what they came with. */
export function rangesTuned(session: Session, tuning: Tuning): readonly TestedRange[] {
  if (tuning.tuned === null) return [];
  const of = new Map<SettingName, number[]>();
  for (const { of: name, low, high } of tuning.from?.tested ?? []) of.set(name, [low, high]);
  for (const shot of session.shots) {
    if (!tuning.shotIds.includes(shot.id)) continue;
    const { launcher, airframe } = whatTookPart(session, shot);
    for (const [name, value] of Object.entries(settingValues(launcher, airframe, shot.conditions))) {
      const key = name as SettingName;
      of.set(key, [...(of.get(key) ?? []), value]);
    }
  }
  for (const { id, massKg, shot, launcherId } of outingShots(session)) {
    if (!tuning.shotIds.includes(id)) continue;
    const launcher = session.launchers.find((one) => one.id === launcherId) ?? null;
    for (const [name, value] of Object.entries(settingValues(launcher, { massKg }, shot.conditions))) {
      const key = name as SettingName;
      of.set(key, [...(of.get(key) ?? []), value]);
    }
  }
  return [...of].map(([name, values]) => ({ of: name, low: Math.min(...values), high: Math.max(...values) }));
}
