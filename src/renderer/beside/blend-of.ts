import type { PictureToPicture } from "../../shared/beside/laid-over.ts";
import {
  type CommonPlace,
  commonPlace,
  type NoCommonPlace,
  ORIGINS,
  type Origin,
} from "../../shared/beside/origins.ts";
import { type ShotOnPlane, shotOnPlane } from "../../shared/beside/shot-on-plane.ts";
import type { Refusal } from "../../shared/quantity/result.ts";
import type { Side } from "./side-of.ts";

/** How one of two pictures lies where both are seen over each other. */
export interface LaidPicture {
  /** [width, height] of the picture that the place is shaped as */
  readonly inPx: readonly [number, number];
  /** left out for the lower picture; null where the upper one cannot be laid over it now */
  readonly matrix?: PictureToPicture | null;
  /** 0 to 1 */
  readonly share?: number;
}

/** Two shots whose pictures can lie over each other. */
export interface Blend {
  readonly shots: readonly [ShotOnPlane, ShotOnPlane];
  /** what falls together */
  readonly place: CommonPlace;
}

/** What of two shots can be made to fall together, and why the rest cannot. */
export interface Blendable {
  /** What was wanted or, where that cannot be, the first that can. */
  readonly blend: Blend | null;
  readonly can: readonly Origin[];
  /** why what was wanted cannot be; null where it can */
  readonly why: string | null;
}

/** Whether and how the pictures of two sides can lie over each other. */
export function blendOf([first, second]: readonly [Side, Side], wanted: Origin): Blendable {
  const shots: ShotOnPlane[] = [];
  for (const { filmed, facts, measurement, name } of [first, second]) {
    const shot = shotOnPlane(filmed, facts, measurement);
    if (shot === null)
      return { blend: null, can: [], why: `${name} no longer has the scale and marks it was measured by.` };
    shots.push(shot);
  }
  const [lower, upper] = shots as [ShotOnPlane, ShotOnPlane];
  const pair = [lower, lower.shotId === upper.shotId ? lower : upper] as const;
  const found = ORIGINS.map((origin) => commonPlace(pair, origin));
  const places = found.flatMap((one) => (one.ok ? [one.value] : []));
  const asked = found[ORIGINS.indexOf(wanted)];
  const place = asked?.ok ? asked.value : places[0];
  return {
    blend: place === undefined ? null : { shots: pair, place },
    can: places.map(({ origin }) => origin),
    why: asked === undefined || asked.ok ? null : whyNot(asked, wanted, [first.name, second.name]),
  };
}

function whyNot(
  { code, numbers }: Refusal<NoCommonPlace>,
  origin: Origin,
  names: readonly [string, string],
): string {
  const name = names[numbers.side === 1 ? 1 : 0];
  const instant = origin === "airframe at release" ? "release" : "first motion";
  switch (code) {
    case "no-common-point":
      return `${names[0]} and ${names[1]} have no point of the same name on their airframes.`;
    case "no-instant":
      return `The marks of ${name} do not show its ${instant}.`;
    case "no-marks":
      return instant === "release"
        ? `No point that both have is marked before and after the release of ${name}.`
        : `No point that both have is marked before the first motion of ${name}.`;
    case "no-rod":
      return `${name} has no scale rod.`;
  }
}
