import type { UnitSet } from "../quantity/display.ts";
import type { Measured } from "../quantity/measured.ts";
import { isInside } from "./limits.ts";
import { type LimitName, type NextNotice, SETTING_NOTICES } from "./next-notices.ts";
import type { NextShotReport } from "./next-shot-report.ts";
import { plainNumber } from "./plain-number.ts";

/** What a limit is called where it binds. */
const LIMIT_WORDS: Readonly<Record<LimitName, string>> = {
  rating: "the maker's rating of the tank",
  relief: "the relief valve's set point",
  load: "the airframe's load limit",
  "end-stop": "the rated load of the end stop",
  base: "the rated load of the base",
  stretch: "the greatest stretch of the line",
  anchor: "the rated load of the anchor",
  "carriage-stop": "the rated load of the carriage's stop",
  stall: "the least stall margin",
};

/** The wanted speed is one that no setting gives. */
export function outOfReach(report: NextShotReport, wanted: Measured, units: UnitSet): NextNotice {
  const { setting, reach } = report;
  const say = sayer(report, units);
  return SETTING_NOTICES["speed-out-of-reach"](
    setting!.field,
    `from ${say.setting(setting!.low)} to ${say.setting(setting!.high)}`,
    say.speed(wanted.value),
    [say.speed(reach!.slowest.speed), say.speed(reach!.fastest.speed)],
    insideSays(report, units),
  );
}

/** The wanted speed can be had, but not with every limit kept. */
export function outsideLimits(report: NextShotReport, wanted: Measured, units: UnitSet): NextNotice {
  const say = sayer(report, units);
  const broken = report.limits.filter((check) => !isInside([check]));
  const names = listed(broken.map(({ name }) => LIMIT_WORDS[name]));
  const sure = broken.some(({ state }) => state === "outside");
  const passes = sure ? "passes" : "may pass, within twice its uncertainty,";
  return SETTING_NOTICES["outside-limits"](
    say.speed(wanted.value),
    say.setting(report.answer!.setting.value),
    `${passes} ${names}`,
    insideSays(report, units),
  );
}

/**
 * "Inside all limits the launcher gives 9.1 to 13.2 m/s, the fastest at 3.9 bar; the airframe's
 * load limit binds there."
 */
export function insideSays(report: NextShotReport, units: UnitSet): string {
  const { inside } = report;
  if (inside === null) return "No setting keeps all limits.";
  const say = sayer(report, units);
  const { slowest, fastest } = inside;
  const bound =
    fastest.bound.length === 0
      ? ""
      : `; ${listed(fastest.bound.map((name) => LIMIT_WORDS[name]))} binds there`;
  const least =
    slowest.bound.length === 0
      ? ""
      : ` Slower than ${say.speed(slowest.speed)}, ${listed(slowest.bound.map((name) => LIMIT_WORDS[name]))} is not kept.`;
  return `The greatest speed inside all limits is ${plainNumber(fastest.speed, "m/s", units, "down")}, at ${say.setting(fastest.x)}${bound}.${least}`;
}

function sayer({ setting }: NextShotReport, units: UnitSet) {
  return {
    speed: (value: number) => plainNumber(value, "m/s", units),
    setting: (value: number) => plainNumber(value, setting!.unit, units),
  };
}

function listed(names: readonly string[]): string {
  return names.length < 2 ? (names[0] ?? "") : `${names.slice(0, -1).join(", ")} and ${names.at(-1)}`;
}
