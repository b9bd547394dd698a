import { describe, expect, it } from "vitest";
import type { CameraPlan } from "../../../src/shared/camera-plan/camera-plan.ts";
import { HEADLINES } from "../../../src/shared/results/shot-result.ts";
import { cli } from "../../support/run-cli.ts";

describe("plan-camera", () => {
  it("ranks the changes by what they bring, says which helps most, and names every value it took", async () => {
    const { status, out, err } = await cli(["plan-camera", "--json"]);
    expect([status, err]).toEqual([0, ""]);
    const plan = JSON.parse(out) as CameraPlan & { taken: string[] };
    expect(plan.taken).toEqual(expect.arrayContaining(["--rate 240", "--exposure 1/2000", "--angle 20"]));
    const done = plan.changes.filter((change) => change.headlines !== null);
    expect(done.length).toBeGreaterThanOrEqual(10);
    const order = done.map((change) => change.reduction);
    expect(order).toEqual([...order].sort((a, b) => b - a));
    expect(plan.changes.slice(done.length).every((change) => change.whyNot !== null)).toBe(true);
    for (const name of HEADLINES) {
      const most = Math.max(...done.map((change) => change.headlines![name].reduction));
      const best = done.find((change) => change.id === plan.best![name])!;
      expect(best.headlines![name].reduction).toBe(most);
      expect(best.headlines![name].u).toBeCloseTo((1 - most) * plan.headlines![name].u, 12);
      expect(plan.advice).toContain(best.words);
    }
    // The clock is most of the speed's variance here, and halving its u shows as the budget says.
    const { u, budget } = plan.headlines!.releaseSpeed;
    const clock = budget.find((line) => line.source === "clock")!.u;
    const halved = done.find((change) => change.id === "better-rate")!.headlines!.releaseSpeed.u;
    expect(halved / Math.sqrt(u ** 2 - 0.75 * clock ** 2)).toBeCloseTo(1, 2);
  });

  it("prints value ± u of the four results with their budget, what the camera sees, and cautions", async () => {
    const { status, out, err } = await cli(
      "plan-camera --quick --speed 11 --stroke 0.7 --push-time 0.11 --field-angle 30 --exposure 0.001".split(
        " ",
      ),
    );
    expect([status, err]).toEqual([0, ""]);
    expect(out).toMatch(/^What this set-up will give\n +expected +marks/);
    expect(out).toMatch(/\n {2}Release speed +11\.\d+ ± 0\.\d+ m\/s +\d+ %/);
    expect(out).toMatch(/\n {2}Peak acceleration +\d+ ± \d+ m\/s² /);
    expect(out).toMatch(/\n {2}Pitch rate at release +20\.?\d* ± \d\.?\d* °\/s /);
    expect(out).toMatch(/\n {2}Launch angle +20\.\d+ ± 0\.\d+° /);
    expect(out).toContain("2.68 m by 1.51 m in the plane of the flight, 1.40 mm a pixel");
    expect(out).toContain("110 ms, 26 frames");
    expect(out).toMatch(/warning\n +At release the airframe smears over 7\.9 px/);
    expect(out).toMatch(/Not given, so by default: --width 1920, .*--pitch-rate 20\.\n$/s);
    expect(out).not.toMatch(/--peak|--field 2\.5|If you were to/);
  });

  it("exits 1 with the number that would do when the set-up cannot measure the shot, also as JSON", async () => {
    const plain = await cli(["plan-camera", "--rate", "60", "--field", "4"]);
    expect([plain.status, plain.out]).toEqual([1, ""]);
    expect(plain.err).toMatch(/^This set-up cannot measure the shot\.\n/);
    expect(plain.err.replace(/\s+/g, " ")).toContain("Film at 76 frames/s or more, which gives 8.");
    const json = await cli(["plan-camera", "--rate", "60", "--field", "4", "--json"]);
    expect(json.status).toBe(1);
    const { headlines, notices } = JSON.parse(json.out) as CameraPlan;
    expect([headlines, notices[0]?.code]).toEqual([null, "too-few-push-frames"]);
  });

  it.each([
    ["--rod", ["--rod=-1"], '--rod must be greater than 0, not "-1".'],
    ["--rod-u", ["--rod-u=-0.001"], '--rod-u must be 0 or more, not "-0.001".'],
    ["--speed", ["--speed", "fast"], '--speed takes a number, not "fast".'],
    ["--speed", ["--speed="], '--speed takes a number, not "".'],
    ["--speed", ["--speed"], "'--speed <value>' argument missing"],
    ["--points", ["--points", "1"], '--points must be a whole number from 2 to 12, not "1".'],
    [
      "--exposure",
      ["--exposure", "1/100"],
      '--exposure must be greater than 0 and no longer than a frame, not "1/100".',
    ],
    ["--exposure", ["--exposure", "1/0"], '--exposure takes a number, not "1/0".'],
    ["--angle", ["--angle", "100"], '--angle must be from -90 to 90 degrees, not "100".'],
    ["--field-angle", ["--field-angle", "180"], "--field-angle must be between 0 and 170 degrees"],
    ["--peak", ["--peak", "200", "--push-time", "0.1"], "--peak and --push-time say the same thing"],
    ["--field", ["--field", "2", "--field-angle", "30"], "--field and --field-angle say the same thing"],
  ])("exits 2 naming %s for %j", async (_, argv, wording) => {
    const { status, out, err } = await cli(["plan-camera", ...argv]);
    expect([status, out]).toEqual([2, ""]);
    expect(err).toContain(wording);
    expect(err).toContain("loftmark plan-camera");
  });

  it("takes half a frame as exposure where the usual one is longer, and says so", async () => {
    const { err } = await cli(["plan-camera", "--rate", "3000", "--rest", "0", "--flight", "5"]);
    expect(err).toContain("--exposure 1/6000");
  });

  it("explains every option with its usual value", async () => {
    const { status, out } = await cli(["plan-camera", "--help"]);
    expect(status).toBe(0);
    expect(out).toMatch(/--rate HZ +capture rate; 240 by default\n/);
    expect(out).toMatch(/--plumb-u DEG +how close to vertical it hangs; 0\.03 by default\n/);
    expect((out.match(/^ {2}--/gm) ?? []).length).toBe(28);
  });

  it("stops at Ctrl-C between two simulated shots", async () => {
    const stop = new AbortController();
    stop.abort();
    const { status, err } = await cli(["plan-camera"], { signal: stop.signal });
    expect(status).toBe(1);
    expect(err).toMatch(/stopped|cancel/i);
  });
});
