import { rodErrorOf } from "../next-shot/own-measuring.ts";
import { isAsHeavy } from "../next-shot/repeats.ts";
import { showMeasured } from "../quantity/display.ts";
import type { Outing, Session } from "../session/schema.ts";
import { statedOtherwise } from "../session/stated-otherwise.ts";

/** What is said of how another outing's folder stands to the copy that the session keeps. */
export const STANDING_SAYS = {
  same: "as it was read",
  changed: "changed since it was read; what was concluded stays until it is read again",
  missing: "its folder is not there; what was read of it stays",
  unreadable: "its session cannot be read; what was read of it before stays",
} as const;

/**
 * What of an outing counts here, in a sentence each: how many shots, why some do not, and which errors are
 * taken to be shared with this session's own shots.
 */
export function outingSays(outing: Outing, session: Session): readonly string[] {
  const { shots, lacking, leftOut } = outing;
  const said = [`${shots.length === 1 ? "One measured shot" : `${shots.length} measured shots`}.`];
  const out = shots.filter(({ id }) => leftOut.includes(id)).map(({ name }) => name);
  if (out.length > 0) said.push(`Left out: ${out.join(", ")}.`);
  said.push(...launchersSay(outing, session), ...airframesSay(outing, session));
  if (shots.length > out.length) said.push(...sharedSays(outing, session));
  const noticed = shots.flatMap(({ name, noticed: all }) => all.map(({ cause }) => `${name}: ${cause}`));
  if (noticed.length > 0) said.push(`Noticed there: ${noticed.join(" ")}`);
  if (lacking.length > 0) {
    said.push(
      `Does not count: ${lacking.map(({ name, why }) => (why === "" ? name : `${name} (${why.replace(/\.$/, "")})`)).join(", ")}.`,
    );
  }
  return said;
}

function launchersSay({ shots, launchers }: Outing, session: Session): readonly string[] {
  const said = launchers.flatMap(({ id, launcher, here }) => {
    const count = shots.filter(({ launcherId }) => launcherId === id).length;
    if (count === 0) return [];
    const named = launcher.name || id;
    const own = session.launchers.find((one) => one.id === here);
    if (own === undefined) {
      return [`${count} of ${named} ${doNot(count)} count: ${named} is no launcher of this session.`];
    }
    const other = statedOtherwise(launcher, own);
    return other.length === 0
      ? []
      : [`${count} of ${named} ${doNot(count)} count: it was stated otherwise there: ${other.join(", ")}.`];
  });
  const unsaid = shots.filter(({ launcherId }) => launcherId === null).length;
  return unsaid === 0 ? said : [...said, `${unsaid} of no stated launcher ${doNot(unsaid)} count.`];
}

function airframesSay({ shots, airframes }: Outing, session: Session): readonly string[] {
  return airframes.flatMap(({ id, name, here, massKg }) => {
    const count = shots.filter(({ airframeId }) => airframeId === id).length;
    if (count === 0) return [];
    const own = session.airframes.find((one) => one.id === here);
    const called = name || id;
    if (own === undefined) {
      return [`${count} of ${called} ${doNot(count)} count: it is no airframe of this session.`];
    }
    if (isAsHeavy(massKg, own.massKg)) return [];
    const mass = (of: typeof massKg) =>
      of === null ? "not stated" : showMeasured(of, "kg", session.units).text;
    return [
      `${called} was heavier or lighter there (${mass(massKg)}, here ${mass(own.massKg)}): tuning and charts take it as it was, repeats are of one mass and leave it out.`,
    ];
  });
}

/** Which assumption is made of each error that two outings might have in common. */
function sharedSays({ shots, cameras, leftOut }: Outing, session: Session): readonly string[] {
  const counted = shots.filter(({ id }) => !leftOut.includes(id));
  const rods = new Set(session.shots.map(rodErrorOf));
  const sameRod = counted.some(({ shared }) => shared.some(({ by }) => rods.has(by)));
  return [
    sameRod
      ? "A rod’s length is stated with the same number and ± as today: it is taken for one measurement of one rod, and its error is the same in both outings."
      : "The rods’ lengths are other numbers than today’s: they are taken to be measured apart, and share no error.",
    ...cameras.map(({ id, name, here }) => {
      const own = session.cameras.find((one) => one.id === here);
      const called = name || id;
      return own === undefined
        ? `${called} is taken for another camera than today’s: rate, lens and shutter share no error. If it is the same one, say so.`
        : `${called} is taken for today’s ${own.name || own.id}: where both state the same rate or lens, its error is the same in both outings.`;
    }),
    "How each camera stood, the picks and the plane of flight were of their own day, and share no error.",
  ];
}

function doNot(count: number): string {
  return count === 1 ? "does not" : "do not";
}
