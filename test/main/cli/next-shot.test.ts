import { cp, readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { sessionText } from "../../../src/main/store/session-text.ts";
import { predictShot } from "../../../src/shared/predict/predict-shot.ts";
import type { Launcher, Session } from "../../../src/shared/session/schema.ts";
import { findFfmpeg } from "../../../tools/find-program.mjs";
import { sampleSession } from "../../shared/session/sample-session.ts";
import { firstOf, oneOfEach } from "../../support/one-of-each.ts";
import { cli } from "../../support/run-cli.ts";
import { sharedExample } from "../../support/shared-example.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

/**
 * The sample session with no marks, so that no clip is asked for; the last shot has the
 * first one's air and pressure.
 */
function unmarked(): Session {
  const session = sampleSession();
  const [first] = session.shots;
  return {
    ...session,
    shots: session.shots.map((shot) => ({ ...shot, marks: [], conditions: first!.conditions })),
  };
}

const there = predictShot(unmarked(), unmarked().shots[0]!).prediction!.quantities.releaseSpeed!.value;
const speed = there.toFixed(6);

async function folderWith(session: Session): Promise<string> {
  const folder = await temporaryFolder();
  await writeFile(join(folder, "loftmark.json"), sessionText(session));
  return folder;
}

describe("next-shot", () => {
  it("gives the pressure back for the speed predicted at it: a sentence, the limits, the cautions", async () => {
    const folder = await folderWith(unmarked());
    const { status, out, err } = await cli(["next-shot", folder, "--speed", speed, "--tolerance", "0.2"]);
    expect([status, err]).toEqual([0, ""]);
    expect(out).toMatch(
      /^Fill to 4\.\d+ ± [\d.]+ bar for [\d.]+ m\/s; next shot between [\d.]+ and [\d.]+ m\/s \(95 %\)\.\n/,
    );
    expect(out.replace(/\s+/g, " ")).toContain("no scatter from shot to shot is known yet");
    expect(out).toMatch(/chance\s+of \d+ %/);
    expect(out).toMatch(/\n {2}Tank pressure +4\.1\d* ± 0\.05 bar +at most 11 bar +inside\n/);
    expect(out).toContain("No least stall margin is asked for.");
    expect(out).toContain("In the air and with the settings of second shot.");
    expect(out).toContain("of compressed gas, let out at once if a part fails");

    const json = await cli(["next-shot", ".", "--speed", speed, "--json"], { cwd: folder });
    const report = JSON.parse(json.out);
    expect(Math.abs(report.answer.setting.value / 4.1e5 - 1)).toBeLessThan(1e-6);
    expect(report).toMatchObject({ shotId: "shot-2", scatter: null, notices: [] });
  });

  it("takes what the session asks for, and another input from the command line", async () => {
    const session = unmarked();
    const nextShot = {
      speedMPerS: { value: 0.9 * there, u: 0.1 },
      choose: "pressure",
      leastStallMargin: null,
    } as const;
    const folder = await folderWith({ ...session, nextShot });
    const asked = await cli(["next-shot", folder]);
    expect(asked.out).toMatch(/^Fill to 3\.\d/);
    const mass = await cli(["next-shot", folder, "--choose", "mass", "--like", "shot-1"]);
    expect(mass.out).toMatch(/^Ballast the airframe to 1\.\d+ ± [\d.]+ kg for/);
    expect(mass.out).toContain("with the settings of first shot");
  });

  it("exits 1 and names the limit that binds and the greatest speed inside, telling nobody to do it", async () => {
    const session = unmarked();
    const { out, err, status } = await cli([
      "next-shot",
      await folderWith(
        oneOfEach({
          ...session,
          launcher: { ...firstOf(session).launcher!, tankRatingPa: 4e5 } as Launcher,
        }),
      ),
      "--speed",
      speed,
    ]);
    expect(status).toBe(1);
    expect(out).toMatch(/^Outside the limits: [\d.]+ m\/s would take 4\.\d+ ± [\d.]+ bar\.\n/);
    expect(out).not.toContain("Fill to");
    expect(err).toContain("the maker's rating of the tank");
    const greatest = Number(/greatest\s+speed\s+inside\s+all\s+limits\s+is\s+([\d.]+)\s+m\/s/.exec(err)?.[1]);
    expect(greatest).toBeGreaterThan(0.9 * there);
    expect(greatest).toBeLessThan(there);
  });

  it("writes the card for the field as drawing or page, for further masses, asking for no speed", async () => {
    const folder = await folderWith(unmarked());
    const svg = await cli(["next-shot", ".", "--card", "card.svg", "--mass", "0.7,1.1"], { cwd: folder });
    expect([svg.status, svg.err]).toEqual([0, ""]);
    expect(svg.out).toMatch(/^card\.svg: \d+ rows, 3 masses\.\n/);
    const drawn = await readFile(join(folder, "card.svg"), "utf8");
    expect(drawn).toContain("Release speed over tank pressure");
    expect(drawn).toContain(">0.7 kg<");
    const html = await cli(["next-shot", ".", "--card", "card.html", "--json"], { cwd: folder });
    expect(JSON.parse(html.out)).toMatchObject({ kind: "pressure", notices: [] });
    expect(await readFile(join(folder, "card.html"), "utf8")).toMatch(/^<!doctype html>/);
  });

  it("writes no card where no pressure is recommended, and says why", async () => {
    const session = unmarked();
    const launcher = { ...firstOf(session).launcher!, tankMaterial: "plastic-pipe" } as Launcher;
    const folder = await folderWith(oneOfEach({ ...session, launcher }));
    const { status, out, err } = await cli(["next-shot", ".", "--card", "card.svg"], { cwd: folder });
    expect([status, out]).toEqual([1, ""]);
    expect(err).toContain("plastic pipe");
    await expect(readFile(join(folder, "card.svg"), "utf8")).rejects.toThrow("ENOENT");
  });

  it("exits 1 for a speed the launcher does not reach, naming the field and the range, for people and as JSON", async () => {
    const folder = await folderWith(unmarked());
    const plain = await cli(["next-shot", folder, "--speed", "90"]);
    expect(plain.status).toBe(1);
    expect(plain.err.replace(/\s+/g, " ")).toMatch(
      /Tank pressure, gauge: no value from [\d.]+ bar to [\d.]+ bar gives the wanted 90\.0 m\/s/,
    );
    const json = await cli(["next-shot", folder, "--speed", "90", "--json"]);
    expect(JSON.parse(json.out)).toMatchObject({ answer: null, notices: [{ code: "speed-out-of-reach" }] });
  });

  it.each([
    ["no speed", [], "--speed M/S"],
    ["a speed that is no number", ["--speed", "fast"], '--speed takes a number above zero, not "fast".'],
    ["a speed below zero", ["--speed=-3"], '--speed takes a number above zero, not "-3".'],
    [
      "a card of no known kind",
      ["--card", "card.pdf"],
      '--card takes a file that ends in .svg or .html, not "card.pdf".',
    ],
    ["a mass without a card", ["--speed", "9", "--mass", "1"], "--mass belongs to --card FILE."],
    [
      "a mass that is no number",
      ["--card", "card.svg", "--mass", "1,heavy"],
      '--mass takes numbers above zero in kg, parted by commas, not "heavy".',
    ],
    ["too many masses", ["--card", "card.svg", "--mass", "1,2,3"], "--mass takes 2 masses at most"],
    [
      "something else to change",
      ["--speed", "9", "--choose", "luck"],
      '--choose takes pressure, mass, stroke, motor, draw, not "luck".',
    ],
    [
      "a shot that is not there",
      ["--speed", "9", "--like", "shot-9"],
      "--like takes the id of a shot: shot-1, shot-2; not",
    ],
  ])("exits 2 for %s", async (_, argv, wording) => {
    const { status, out, err } = await cli(["next-shot", await folderWith(unmarked()), ...argv]);
    expect([status, out]).toEqual([2, ""]);
    expect(err).toContain(wording);
  });

  it("refuses what cannot be set on this launcher, saying what can", async () => {
    const { status, err } = await cli([
      "next-shot",
      await folderWith(unmarked()),
      "--speed",
      "9",
      "--choose",
      "draw",
    ]);
    expect(status).toBe(1);
    expect(err.replace(/\s+/g, " ")).toContain("Choose one of: tank pressure, airframe's mass, stroke.");
  });
});

describe("next-shot with measured shots", () => {
  beforeEach(async () => {
    vi.stubEnv("LOFTMARK_CACHE", await temporaryFolder());
  });
  afterEach(() => {
    vi.unstubAllEnvs();
  });

  it("measures them and says how alike they were", async () => {
    const ffmpeg = findFfmpeg();
    if (ffmpeg === null) throw new Error("These tests need ffmpeg: run `npm test` once, or install it.");
    const folder = await temporaryFolder();
    await cp(await sharedExample(ffmpeg.path), folder, { recursive: true });
    const session = JSON.parse(await readFile(join(folder, "loftmark.json"), "utf8")) as Session;
    // The same marks on a clock 2 % faster: a shot 2 % faster at the same pressure.
    const faster = (shot: Session["shots"][number]) =>
      shot.clock?.kind !== "capture-rate"
        ? shot
        : {
            ...shot,
            id: "again",
            name: "again",
            clock: {
              ...shot.clock,
              captureRateHz: { ...shot.clock.captureRateHz, value: 1.02 * shot.clock.captureRateHz.value },
            },
          };
    const shots = [session.shots[0]!, faster(session.shots[0]!)];
    await writeFile(join(folder, "loftmark.json"), sessionText({ ...session, shots }));
    const { out } = await cli(["next-shot", folder, "--speed", "13", "--json"]);
    const { groups, scatter } = JSON.parse(out);
    expect(groups).toHaveLength(1);
    const { n, s, mean } = groups[0].repeatability;
    expect(n).toBe(2);
    expect(s / mean).toBeCloseTo(0.02 / Math.SQRT2 / 1.01, 4);
    expect(scatter).toMatchObject({ from: "repeats", dof: 1 });
    expect(scatter.relative).toBeCloseTo(s / mean, 12);
  });
});
