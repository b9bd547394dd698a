import { describe, expect, it } from "vitest";
import { overSetting } from "../../../src/shared/next-shot/over-setting.ts";
import { predictLaunch } from "../../../src/shared/predict/predict-shot.ts";
import { launchInputs } from "../../../src/shared/session/launch-inputs.ts";
import { ramSession, ramShot } from "./ram-session.ts";

const session = ramSession({}, {}, 1);
const launch = launchInputs(session, ramShot({ value: 6e5, u: 3e4 }));

describe("overSetting", () => {
  it("says at a place what a prediction says there, the input itself taken as exact", () => {
    const { runs, whyNot } = overSetting(launch, "pressure", 4e5, 8e5);
    expect(whyNot).toBeNull();
    expect(runs).toHaveLength(1);
    const points = runs[0]!;
    expect([points[0]!.x, points.at(-1)!.x]).toEqual([4e5, 8e5]);
    const middle = points.find(({ x }) => x === 6e5)!.quantities.releaseSpeed!;
    const exact = launchInputs(session, ramShot({ value: 6e5, u: 0 }));
    const said = predictLaunch(exact).prediction!.quantities.releaseSpeed!;
    expect([middle.value, middle.u]).toEqual([said.value, said.u]);
    const doubtful = predictLaunch(launch).prediction!.quantities.releaseSpeed!;
    expect(middle.u).toBeGreaterThan(0);
    expect(middle.u).toBeLessThan(doubtful.u);
  });

  it("says why there is nothing: no launcher, an input the launcher lacks, a push that never starts", () => {
    const bare = { ...launch, launcher: null };
    expect(overSetting(bare, "pressure", 4e5, 8e5)).toEqual({
      runs: [],
      whyNot: expect.stringContaining("No launcher"),
    });
    expect(overSetting(launch, "draw", 0.1, 1).whyNot).toMatch(/draw of the line/);
    const stuck = launchInputs(
      ramSession({ breakawayN: { value: 1e6, u: 0 } }),
      ramShot({ value: 6e5, u: 3e4 }),
    );
    const nothing = overSetting(stuck, "pressure", 4e5, 8e5);
    expect(nothing.runs).toEqual([]);
    expect(nothing.whyNot).toMatch(/\.$/);
  });
});
