import { expect, it } from "vitest";
import { freshLauncher } from "../../../../src/renderer/ledger/model/fresh-launcher.ts";
import { RamLauncherSchema } from "../../../../src/shared/session/launcher-schemas.ts";

it("starts from a launcher that the session takes, with every guess uncertain by a third or more", () => {
  const launcher = RamLauncherSchema.parse(freshLauncher());
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
