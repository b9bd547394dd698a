import { isAsHeavy } from "../next-shot/repeats.ts";
import type { Quantity } from "../quantity/measured.ts";
import { QUANTITIES } from "../results/quantity-table.ts";
import type { QuantityName } from "../results/shot-result.ts";
import { outingLaunch } from "../session/launch-inputs.ts";
import { type OutingShot, outingShots } from "../session/outings.ts";
import type { Session } from "../session/schema.ts";
import { statedOtherwise } from "../session/stated-otherwise.ts";
import { airframeOf } from "../session/what-took-part.ts";
import type { DayResult, DayShot } from "./day-columns.ts";

type Copied = Pick<DayShot, "shot"> & { readonly result: DayResult };

/** What stays the same of a shot as long as its copy does, so that its row is not drawn again. */
const MADE = new WeakMap<OutingShot, Copied>();

/**
 * The shots of other outings as rows of the day: those made with an airframe and a launcher of this session,
 * the launcher stated alike. There is no prediction of them: the model speaks of this session's shots.
 */
export function shotsElsewhere(session: Session): readonly DayShot[] {
  const all = outingShots(session);
  return all.flatMap((one, i): readonly DayShot[] => {
    const launch = outingLaunch(session, one);
    const { airframeId, launcherThere, massKg, outing } = one;
    if (launch === null || launch.launcher === null || launcherThere === null) return [];
    if (statedOtherwise(launcherThere, launch.launcher).length > 0) return [];
    const own = airframeOf(session, { airframeId: airframeId ?? "" });
    return [
      {
        ...(MADE.get(one) ?? copiedOf(one)),
        number: i - all.length,
        outing: { title: outing.title, asHeavy: isAsHeavy(massKg, own.massKg) },
        launch,
        clipMs: null,
      },
    ];
  });
}

function copiedOf(one: OutingShot): Copied {
  const { id, name, airframeId, launcherId, shot } = one;
  const { conditions, quantities, curves, push, noticed } = shot;
  const made: Copied = {
    shot: { id, name, clip: null, airframeId: airframeId ?? "", launcherId, conditions },
    result: {
      measurement: {
        quantities: Object.fromEntries(
          Object.entries(quantities).flatMap(([key, value]): [string, Quantity][] => {
            const known = QUANTITIES[key as QuantityName];
            return known === undefined
              ? []
              : [[key, { ...value, unit: known.unit, how: `as measured in ${one.outing.title}` }]];
          }),
        ),
        curves,
        startClipS: push.startS,
        releaseClipS: push.releaseS,
      },
      prediction: null,
      comparison: null,
      notices: noticed,
    },
  };
  MADE.set(one, made);
  return made;
}
