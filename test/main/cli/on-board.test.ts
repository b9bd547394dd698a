import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { sessionText } from "../../../src/main/store/session-text.ts";
import { flyThrown } from "../../../src/shared/launch/on-board/thrown-body.ts";
import type { Launcher, Session } from "../../../src/shared/session/schema.ts";
import { sampleSession } from "../../shared/session/sample-session.ts";
import { firstOf, oneOfEach } from "../../support/one-of-each.ts";
import { cli } from "../../support/run-cli.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

const STEEP = { value: 1.2, u: 0.01 };

/** The sample session without marks, so that no clip is read, thrown steeply; and a log beside it. */
async function folderWith(unit = " (m)"): Promise<string> {
  const session = sampleSession();
  const launcher = { ...firstOf(session).launcher!, angleRad: STEEP } as Launcher;
  const shots = session.shots.map((shot) => ({ ...shot, marks: [] }));
  const folder = await temporaryFolder();
  await writeFile(join(folder, "loftmark.json"), sessionText(oneOfEach({ ...session, launcher, shots })));
  const body = {
    massKg: firstOf(session).airframe.massKg!.value,
    airDensity: 1.2,
    headwindMPerS: 0,
    angleRad: STEEP.value,
  };
  const times = Array.from({ length: 80 }, (_, i) => i / 20);
  const flown = flyThrown(
    body,
    15,
    0.01,
    times.map((t) => t - 2.5),
  );
  const rows = times.map((t, i) => `${t},${(t > 2.5 ? flown[i]!.heightM : 0.01 * (i % 3)).toFixed(3)}`);
  await writeFile(join(folder, "log.csv"), [`time (s),height${unit}`, ...rows, ""].join("\n"));
  return folder;
}

describe("on-board", () => {
  it("says release speed and drag area, draws them, and notes the log with the shot", async () => {
    const cwd = await folderWith();
    const argv = [
      "on-board",
      ".",
      "--shot",
      "shot-1",
      "--log",
      "log.csv",
      "--assumes",
      "day",
      "--figure",
      "log.svg",
      "--save",
    ];
    const { status, out, err } = await cli(argv, { cwd });
    expect([status, err]).toEqual([0, ""]);
    expect(out).toMatch(/Release speed +1[45]\.\d+ \u00b1 [\d.]+ m\/s/);
    expect(out).toMatch(/Drag area +[\d.]+ \u00b1 [\d.]+ dm\u00b2/);
    expect(out).toContain("no measured speed stands beside it");
    expect(await readFile(join(cwd, "log.svg"), "utf8")).toContain("Height, as read");
    const saved = JSON.parse(await readFile(join(cwd, "loftmark.json"), "utf8")) as Session;
    expect(saved.shots[0]!.log).toMatchObject({
      name: "log.csv",
      column: null,
      unit: null,
      assumes: "day",
      untilS: null,
    });
    expect(saved.shots[0]!.log!.fingerprint).toMatch(/^sha256-[0-9a-f]{64}$/);

    const again = await cli(["on-board", ".", "--shot", "shot-1", "--json"], { cwd });
    expect(JSON.parse(again.out)).toMatchObject({ log: "log.csv", changed: false, of: "height", unit: "m" });
    await writeFile(join(cwd, "log.csv"), `${await readFile(join(cwd, "log.csv"), "utf8")}4.1,9\n`);
    const changed = await cli(["on-board", ".", "--shot", "shot-1"], { cwd });
    expect(changed.out.replace(/\s+/g, " ")).toContain("its content has changed");
  });

  it("asks for the unit where the file states none, and takes it from the command line", async () => {
    const cwd = await folderWith("");
    const refused = await cli(["on-board", ".", "--shot", "shot-1", "--log", "log.csv"], { cwd });
    expect(refused.status).toBe(1);
    expect(refused.err).toContain("has no unit");
    const stated = await cli(
      ["on-board", ".", "--shot", "shot-1", "--log", "log.csv", "--unit", "ft", "--json"],
      { cwd },
    );
    expect(JSON.parse(stated.out)).toMatchObject({ unit: "ft", unitStated: false });
  });

  it.each([
    ["no shot", ["--log", "log.csv"], '"on-board" needs --shot'],
    ["no log", ["--shot", "shot-1"], "Say which log"],
    [
      "an unknown unit",
      ["--shot", "shot-1", "--log", "log.csv", "--unit", "furlong"],
      "--unit takes m, cm, ft",
    ],
    [
      "a stretch of nothing",
      ["--shot", "shot-1", "--log", "log.csv", "--until", "0"],
      "--until takes a number",
    ],
    [
      "unknown air",
      ["--shot", "shot-1", "--log", "log.csv", "--assumes", "thick"],
      "--assumes takes standard or day",
    ],
  ])("exits 2 for %s", async (_, argv, wording) => {
    const { status, out, err } = await cli(["on-board", await folderWith(), ...argv]);
    expect([status, out]).toEqual([2, ""]);
    expect(err).toContain(wording);
  });

  it("exits 1 for a log that is not there, naming it", async () => {
    const cwd = await folderWith();
    const { status, err } = await cli(["on-board", ".", "--shot", "shot-1", "--log", "gone.csv"], { cwd });
    expect([status, err]).toEqual([1, expect.stringContaining('There is no log "gone.csv"')]);
  });
});
