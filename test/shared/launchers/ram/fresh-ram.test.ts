import { expect, it } from "vitest";
import { freshRam } from "../../../../src/shared/launchers/ram/fresh-ram.ts";
import { RamLauncherSchema } from "../../../../src/shared/session/launcher-schemas.ts";

it("starts from a launcher that the session takes, with every guess uncertain by a third or more", () => {
  const launcher = RamLauncherSchema.parse(freshRam());
  for (const key of [
    "tankVolumeM3",
    "boreM",
    "strokeM",
    "deadVolumeM3",
    "openingS",
    "movingMassKg",
  ] as const) {
    expect(launcher[key].u / launcher[key].value, key).toBeGreaterThanOrEqual(0.33);
  }
});
