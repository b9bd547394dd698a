import { copyFile, cp, mkdir, mkdtemp, readFile, rename, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it, vi } from "vitest";
import { predictShot } from "../../../src/shared/predict/predict-shot.ts";
import { ResultsSchema } from "../../../src/shared/results/results-schema.ts";
import { SessionSchema } from "../../../src/shared/session/schema.ts";
import { findFfmpeg } from "../../../tools/find-program.mjs";
import { firstOf, oneOfEach } from "../../support/one-of-each.ts";
import { cli } from "../../support/run-cli.ts";
import { type ShotsField, shotsField } from "../../support/shots-field.ts";
import { snapshotOf } from "../../support/temporary-folder.ts";

const ASKED = ["valve.conductance", "slidingN", "openingS"] as const;
// Of 24 seeds tried outside the suite 69 of 72 values come within 2 u; all 24 predictions within 1.5 %, 22
// inside their 95 % interval.
const SEED = 4;

let home: string;
let folder: string;
let field: ShotsField;

beforeAll(async () => {
  home = await mkdtemp(join(tmpdir(), "loftmark tune "));
  vi.stubEnv("LOFTMARK_CACHE", join(home, "cache"));
  vi.stubEnv("LOFTMARK_DATA", join(home, "data"));
  folder = join(home, "series");
  await mkdir(folder);
  // Six shots at three pressures, and one at a fourth, above them, to be held out.
  field = shotsField(SEED, [2.5e5, 2.5e5, 3.5e5, 3.5e5, 4.5e5, 4.5e5, 5e5]);
  await field.write(folder, findFfmpeg()!.path);
});

afterAll(() => rm(home, { recursive: true, force: true }));

describe("loftmark tune on six filmed shots at three pressures", () => {
  it("recovers valve, friction and opening time within 2 u, predicts the held-out pressure within 1.5 % and its interval, and saves", async () => {
    const { status, out, err } = await cli([
      "tune",
      folder,
      "--parameters",
      ASKED.join(","),
      "--hold-out",
      "shot-7",
      "--save",
      "--json",
    ]);
    expect([status, err]).toEqual([0, ""]);
    const told = JSON.parse(out);
    expect(told.shotIds).toEqual(["shot-1", "shot-2", "shot-3", "shot-4", "shot-5", "shot-6"]);
    expect(told.tuned.undetermined).toEqual([]);
    const { launcher } = firstOf(field.session);
    if (launcher?.kind !== "compressed-air-ram") throw new Error("the field's launcher is a ram");
    const stated = [launcher.valve.conductance, launcher.slidingN, launcher.openingS];
    ASKED.forEach((path, i) => {
      const { value, u } = told.tuned.values[i];
      expect(Math.abs(value - field.truth.get(path)!), path).toBeLessThan(2 * u);
      expect(u, path).toBeLessThan(0.7 * stated[i]!.u);
    });
    const [held] = told.heldOut;
    expect(Math.abs(held.predicted.value / held.measured.value - 1)).toBeLessThan(0.015);
    expect(Math.abs(held.predicted.value / field.speeds.get("shot-7")! - 1)).toBeLessThan(0.015);
    expect(held.inside).toBe(true);
    // As stated the launcher does not reach that: the tuning is what makes the difference.
    expect(Math.abs(held.asStated.value / held.measured.value - 1)).toBeGreaterThan(0.015);
    expect(told.notices[0]).toMatchObject({ code: "tune-fits" });

    const session = SessionSchema.parse(JSON.parse(await readFile(join(folder, "loftmark.json"), "utf8")));
    expect(firstOf(session).launcher).toEqual(firstOf(field.session).launcher); // the launcher keeps what was stated
    expect(firstOf(session).tuning).toMatchObject({
      use: true,
      parameters: [...ASKED],
      heldOutShotIds: ["shot-7"],
    });
    expect(firstOf(session).tuning?.tuned).toEqual(told.tuned);
    // It lies beyond the pressures tuned on: its interval grows with that, as any prediction's does.
    const { value, u } = predictShot(session, session.shots[6]!).prediction!.quantities.releaseSpeed!;
    expect(held.predicted.value).toBeCloseTo(value, 9);
    expect(held.predicted.u).toBeCloseTo(Math.hypot(u, told.tuned.scatter * value), 9);
  });

  it("measures with predictions from the tuned values", async () => {
    // The last shot alone: the others were measured to tune on.
    const alone = join(home, "last");
    await mkdir(alone);
    await copyFile(join(folder, "shot-7.mp4"), join(alone, "shot-7.mp4"));
    const session = SessionSchema.parse(JSON.parse(await readFile(join(folder, "loftmark.json"), "utf8")));
    const shots = session.shots.slice(-1);
    await writeFile(join(alone, "loftmark.json"), JSON.stringify({ ...session, shots }));
    const { status, out } = await cli(["measure", alone, "--json", "--out", join(home, "write-up")]);
    expect(status).toBe(0);
    const last = JSON.parse(out).shots.at(-1);
    const { value, u } = last.predicted.releaseSpeed;
    const truth = field.speeds.get("shot-7")!;
    expect(Math.abs(value / truth - 1)).toBeLessThan(0.015);
    // the gauge alone makes 0.35 %; stated as they are, the inputs make 1.5 %
    expect(u / truth).toBeLessThan(0.006);
  });

  it("writes the table, what was held out and how well the model fits for a person", async () => {
    const { status, out } = await cli([
      "tune",
      folder,
      "--shots",
      "shot-1,shot-3,shot-5",
      "--hold-out",
      "shot-7",
    ]);
    expect(status).toBe(0);
    expect(out).toMatch(/Teasel ram, tuned on 3 shots/);
    expect(out).toMatch(/stated +tuned/);
    expect(out).toMatch(/valve's sonic conductance +\S+ ± \S+ dm³\/\(s·bar\) +\S+ ± \S+ dm³\/\(s·bar\)/);
    expect(out).toMatch(/Shot 7: predicted \S+ ± \S+ m\/s, measured/);
    expect(out).toMatch(/chi-square/);
  });
});

describe("loftmark outings", () => {
  it("brings another folder's shots into tuning and the write-up, writes nothing there, and says when it changes or goes", async () => {
    const [today, earlier] = [join(home, "today"), join(home, "earlier")];
    for (const [path, title, numbers] of [
      [today, "Today", [1, 5]],
      [earlier, "An afternoon", [3]],
    ] as const) {
      await mkdir(path);
      const ids = numbers.map((n) => `shot-${n}`);
      for (const id of ids) await cp(join(folder, `${id}.mp4`), join(path, `${id}.mp4`));
      const shots = field.session.shots.filter(({ id }) => ids.includes(id));
      await writeFile(join(path, "loftmark.json"), JSON.stringify({ ...field.session, title, shots }));
    }
    const before = await snapshotOf(earlier);
    const added = await cli(["outings", today, "--add", earlier, "--json"]);
    expect(added.err).toBe("");
    expect(JSON.parse(added.out)).toMatchObject([
      {
        ...{ id: "outing-1", path: "../earlier", title: "An afternoon", standing: "same" },
        shots: [{ id: "outing-1:shot-3", name: "Shot 3" }],
      },
    ]);
    expect(await snapshotOf(earlier)).toEqual(before);

    const tuned = await cli(["tune", today, "--parameters", "slidingN", "--json"]);
    expect(tuned.err).toBe("");
    expect(JSON.parse(tuned.out).shotIds).toEqual(["shot-1", "shot-5", "outing-1:shot-3"]);
    const measured = await cli(["measure", today, "--out", join(home, "with-outing")]);
    expect(measured.out).toMatch(/With one shot of An afternoon \(\.\.\/earlier\): as it was read\./);
    const results = JSON.parse(await readFile(join(home, "with-outing", "results.json"), "utf8"));
    expect(ResultsSchema.parse(results).outings).toMatchObject([
      { path: "../earlier", shots: [{ id: "outing-1:shot-3", name: "Shot 3" }] },
    ]);
    const report = await readFile(join(home, "with-outing", "report.html"), "utf8");
    expect(report).toMatch(/Other outings.*An afternoon, in \.\.\/earlier/s);

    const file = join(earlier, "loftmark.json");
    await writeFile(file, (await readFile(file, "utf8")).replace("An afternoon", "An evening"));
    expect((await cli(["outings", today])).out).toMatch(/changed since it was read/);
    await writeFile(file, (await readFile(file, "utf8")).replace("An evening", "An afternoon"));
    await rename(earlier, join(home, "elsewhere"));
    expect((await cli(["outings", today])).out).toMatch(/its folder is not there; what was read of it stays/);
    expect((await cli(["outings", today, "--add", today])).err).toMatch(/folder of the session itself/);
    expect((await cli(["outings", today, "--add", join(home, "nowhere")])).err).toMatch(/no folder/);
    await mkdir(join(home, "plain"));
    expect((await cli(["outings", today, "--add", join(home, "plain")])).err).toMatch(
      /no loftmark\.json in "plain"/,
    );
    // A copy of this very folder, no clip of which either session noted.
    await cp(today, join(home, "copied"), { recursive: true });
    expect((await cli(["outings", today, "--add", join(home, "copied")])).err).toMatch(
      /shot-1: its clip is that of Shot 1 here, which counts already.* shot-5: its clip is that of Shot 5 here/,
    );
    // Found elsewhere it is the same outing; there it is named already.
    const moved = await cli(["outings", today, "--add", "elsewhere", "--json"], { cwd: home });
    expect(JSON.parse(moved.out)).toMatchObject([
      { id: "outing-1", path: "../elsewhere", title: "An afternoon", standing: "same" },
    ]);
    expect((await cli(["outings", today, "--add", join(home, "elsewhere")])).err).toMatch(/named already/);
    const left = await cli(["outings", today, "--leave-out", "outing-1:shot-3"]);
    expect(left.out).toMatch(/Left out: Shot 3\./);
    expect((await cli(["tune", today, "--shots", "outing-1:shot-3"])).err).toMatch(
      /no shot "outing-1:shot-3"/,
    );
    expect((await cli(["outings", today, "--take-in", "outing-1:shot-9"])).status).toBe(2);
    await cli(["outings", today, "--take-in", "outing-1:shot-3"]);
    expect((await cli(["outings", today, "--launcher", "launcher-1=none"])).status).toBe(2);
    const none = await cli(["outings", today, "--launcher", "launcher-1=", "--json"]);
    expect(JSON.parse(none.out)[0].says.join(" ")).toMatch(/1 of Teasel ram does not count/);
    expect((await cli(["outings", today, "--remove", "outing-1"])).out).toMatch(/names no other outing/);
  });
});

describe("loftmark tune that cannot", () => {
  it("names an input the launcher does not have, with those that would do, and reads no clip", async () => {
    const { status, err, out } = await cli(["tune", folder, "--parameters", "valve.size", "--json"]);
    expect(status).toBe(1);
    expect(err).toMatch(/"valve\.size" is not an input of this launcher.*\n.*slidingN.*valve\.conductance/);
    expect(err).not.toMatch(/airframeMassKg|gaugePressurePa/);
    expect(JSON.parse(out).error.code).toBe("unknown-parameter");
  });

  it("names a shot the session does not have, and one on both sides, and reads no clip", async () => {
    const clipless = join(home, "clipless");
    await mkdir(clipless);
    await writeFile(join(clipless, "loftmark.json"), JSON.stringify(field.session));
    const { status, err } = await cli(["tune", clipless, "--shots", "shot-1,shot-99"]);
    expect(status).toBe(1);
    expect(err).toMatch(/no shot "shot-99".*\n.*shot-7/);
    const both = await cli(["tune", clipless, "--shots", "shot-1", "--hold-out", "shot-1"]);
    expect(both.err).toMatch(/"shot-1" is both tuned on and held out/);
  });

  it("says what the measurement lacks where no shot is measured", async () => {
    const bare = join(home, "bare");
    await mkdir(bare);
    const shots = field.session.shots.slice(0, 1).map((shot) => ({ ...shot, clip: null, marks: [] }));
    await writeFile(join(bare, "loftmark.json"), JSON.stringify({ ...field.session, shots }));
    const { status, err } = await cli(["tune", bare]);
    expect(status).toBe(1);
    expect(err).toMatch(/No measured shot.*shot-1: Only 0 frames carry marks/);
  });

  it("refuses a launcher without a model", async () => {
    const thrown = join(home, "thrown");
    await mkdir(thrown);
    const launcher = { kind: "no-model", name: "by hand" } as const;
    await writeFile(join(thrown, "loftmark.json"), JSON.stringify(oneOfEach({ ...field.session, launcher })));
    expect((await cli(["tune", thrown])).err).toMatch(/no launcher with a model/);
  });
});
