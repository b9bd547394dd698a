/*
 * Who decides: every caution ends with one of these. Loftmark states facts and never says that something may
 * be done.
 */

/** About pressure, and what takes the loads of a ram. */
export const DEFERENCE =
  "The pipe or vessel maker's rating, local codes, the club's range rules and licensed practice decide.";

/** About a line under tension. */
export const ELASTIC_DEFERENCE =
  "The line maker's rating, local codes, the club's range rules and licensed practice decide.";

/** About where an airframe comes down. */
export const RANGE_DEFERENCE = "Local codes, the club's range rules and licensed practice decide.";

/** About rocket motors. */
export const ROCKET_DEFERENCE =
  "The motor maker's ratings and instructions, local codes, the club's range rules and licensed practice decide.";

/** About motor and propeller. */
export const PROPELLER_DEFERENCE =
  "The motor's and propeller's makers, local codes, the club's range rules and licensed practice decide.";
