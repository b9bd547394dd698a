import { describe, expect, it } from "vitest";
import { compareShot } from "../../../../src/shared/compare/compare-shot.ts";
import { predictShot } from "../../../../src/shared/predict/predict-shot.ts";
import type { Measured } from "../../../../src/shared/quantity/measured.ts";
import type { Measurement } from "../../../../src/shared/results/shot-result.ts";
import type { RamLauncher } from "../../../../src/shared/session/schema.ts";
import { ramSession, ramShot } from "../../next-shot/ram-session.ts";

const exactly = (value: number): Measured => ({ value, u: 0 });
const INERTIA = { pitchInertiaKgM2: { value: 0.05, u: 0.002 } };
const SEAT: Partial<RamLauncher> = {
  pushBelowM: { value: 0.003, u: 0.001 },
  cradleStiffness: exactly(0),
  cradleDamping: exactly(0),
};
const predict = (launcher: Partial<RamLauncher>, airframe = {}) =>
  predictShot(ramSession(launcher, airframe), ramShot(exactly(4e5)));
const missingIn = ({ notices }: ReturnType<typeof predict>) =>
  notices.find(({ code }) => code === "ram-no-pitch")?.cause ?? "";

describe("the pitch rate of a ram's push", () => {
  it("is m v e/I where the cradle lets the airframe turn on a level ram: the push's impulse is m v", () => {
    const { prediction } = predict({ ...SEAT, angleRad: exactly(0) }, INERTIA);
    const { pitchRateAtRelease: rate, releaseSpeed: speed } = prediction!.quantities;
    const free = (1.2 * speed!.value * 0.003) / 0.05;
    expect(Math.abs(rate!.value / free - 1)).toBeLessThan(1e-4);
    // u of the line, a third, and of the inertia, 4 %
    expect(rate!.u / rate!.value).toBeCloseTo(Math.hypot(1 / 3, 0.04), 3);
  });

  it("is small where the cradle is stiff, and falls where a last support behind tips the airframe off", () => {
    const rateOf = (part: Partial<RamLauncher>) =>
      predict({ ...SEAT, ...part }, INERTIA).prediction!.quantities.pitchRateAtRelease!;
    const free = rateOf({}).value;
    expect(Math.abs(rateOf({ cradleStiffness: exactly(1e4), cradleDamping: exactly(5) }).value)).toBeLessThan(
      free / 50,
    );
    const tips = { lastSupportM: exactly(0.1), lastSupportBehindM: exactly(0.06) };
    expect(rateOf(tips).value).toBeLessThan(free - 0.02);
    expect(rateOf(tips).how).toContain("then tipping off its last support");
    expect(rateOf({}).how).toContain("all supports taken to let go at once");
  });

  it("is not predicted where something is missing, which is named", () => {
    const bare = predict({}, { pitchInertiaKgM2: null });
    expect(bare.prediction!.quantities.pitchRateAtRelease).toBeUndefined();
    expect(missingIn(bare)).toContain("the pitch inertia");
    expect(missingIn(bare)).toContain("the push line passes below the balance point");
    const half = predict({ ...SEAT, lastSupportM: exactly(0.1) }, INERTIA);
    expect(half.prediction!.quantities.pitchRateAtRelease).toBeUndefined();
    expect(missingIn(half)).toMatch(/not known: where the last support is\.$/);
    expect(missingIn(predict(SEAT, INERTIA))).toBe("");
  });

  it("is held against the measured one", () => {
    const { prediction } = predict(SEAT, INERTIA);
    const rate = prediction!.quantities.pitchRateAtRelease!;
    const curve = (values: readonly number[]) => ({ value: values, u: values.map(() => 0.01) });
    const zeros = curve([0, 0]);
    const measurement = {
      quantities: {
        releaseSpeed: prediction!.quantities.releaseSpeed,
        pitchRateAtRelease: { ...rate, value: rate.value - 0.2, u: 0.05 },
      },
      curves: {
        timeS: [-0.01, 0],
        position: zeros,
        speed: zeros,
        acceleration: zeros,
        pitch: zeros,
        pitchRate: zeros,
      },
      releaseClipS: 0,
    } as unknown as Measurement;
    const { differences } = compareShot(measurement, prediction!);
    const [found] = differences.filter(({ name }) => name === "pitchRateAtRelease");
    expect(found!.difference.value).toBeCloseTo(0.2, 12);
    expect(found!.inU).toBeCloseTo(0.2 / Math.hypot(rate.u, 0.05), 9);
  });
});
