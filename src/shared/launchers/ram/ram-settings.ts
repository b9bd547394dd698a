import { ratingLeft } from "../../launch/ram/tank-rating.ts";
import { FILL_TO_NOTICES } from "../../results/notices/launch-notices.ts";
import type { RamLauncher } from "../../session/schema.ts";
import { type LauncherSetting, lengthRange, MASS_SETTING } from "../launcher-setting.ts";

const LEAST_SEARCHED_PA = 10e5; // pressures up to this are searched where no rating and no shot says more

/**
 * Pressure up to a quarter above the maker's rating, so that a speed beyond the rating can be seen to be;
 * twice the greatest used, and at least 10 bar, when none is stated. Where the shot has no pressure yet, the
 * gauge is as good as it was for the others.
 */
const PRESSURE: LauncherSetting<RamLauncher> = {
  choose: "pressure",
  withheld({ tankMaterial, tankRatingPa }) {
    if (tankMaterial === "plastic-pipe") return FILL_TO_NOTICES["no-pressure-for-plastic"]();
    return tankRatingPa === null ? FILL_TO_NOTICES["rating-first"]() : null;
  },
  range(launcher, launch, usedPa) {
    const { conditions } = launch;
    const now = conditions.gaugePressurePa;
    const rating = ratingLeft(launcher);
    const most =
      rating === null ? Math.max(LEAST_SEARCHED_PA, ...usedPa.map(({ value }) => 2 * value)) : 1.25 * rating;
    return {
      ok: true,
      value: {
        now: now?.value ?? null,
        u: now?.u ?? Math.max(0, ...usedPa.map(({ u }) => u)),
        low: most / 100,
        high: most,
        ...(rating !== null && { highest: "a quarter above the tank's rating" }),
        at: (value, u) => ({ ...launch, conditions: { ...conditions, gaugePressurePa: { value, u } } }),
      },
    };
  },
};

/** From a tenth to twice what it is. */
const STROKE: LauncherSetting<RamLauncher> = {
  choose: "stroke",
  range: (launcher, launch) => lengthRange(launcher, launch, "strokeM", [0.1, 2]),
};

/** What can be changed on a ram. */
export const RAM_SETTINGS: readonly LauncherSetting<RamLauncher>[] = [PRESSURE, MASS_SETTING, STROKE];
