import { mkdir, readdir, symlink, utimes, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { ownMark, type ProcessMark } from "../../../src/main/store/process-mark.ts";
import { sweepLeftovers } from "../../../src/main/store/sweep-leftovers.ts";
import { readTemporaryName, temporaryName } from "../../../src/main/store/temporary-name.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

const GONE: ProcessMark = { ...ownMark(), started: "1" };
const ELSEWHERE: ProcessMark = { ...ownMark(), host: "shed" };

describe("sweepLeftovers", () => {
  it("removes files and folders of processes that are gone, and follows no link out", async () => {
    const [folder, outside] = [await temporaryFolder(), await temporaryFolder()];
    await writeFile(join(outside, "kept"), "kept");
    const names = ["loftmark.json", "write-up", "link"].map((target) => temporaryName(target, GONE));
    await writeFile(join(folder, names[0]!), "half");
    await mkdir(join(folder, names[1]!));
    await writeFile(join(folder, names[1]!, "report.html"), "half");
    await symlink(outside, join(folder, names[2]!));
    expect([...(await sweepLeftovers(folder))].sort()).toEqual([...names].sort());
    expect([await readdir(folder), await readdir(outside)]).toEqual([[], ["kept"]]);
  });

  it("leaves what a living process writes, and every other name", async () => {
    const folder = await temporaryFolder();
    const names = [
      temporaryName("loftmark.json"),
      ".loftmark.json.tmp",
      ".notes.3f2a-12-x.tmp",
      temporaryName("loftmark.json", GONE).slice(1), // visible: somebody's own
      `${temporaryName("loftmark.json", GONE)}.bak`,
    ];
    for (const name of names) await writeFile(join(folder, name), "");
    expect(await sweepLeftovers(folder)).toEqual([]);
    expect((await readdir(folder)).sort()).toEqual([...names].sort());
  });

  it("removes what another machine left when it is an hour old, not sooner", async () => {
    const folder = await temporaryFolder();
    const [young, old] = [temporaryName("a", ELSEWHERE), temporaryName("b", ELSEWHERE)];
    const nowMs = Date.now();
    for (const [name, minutesAgo] of [
      [young, 50],
      [old, 70],
    ] as const) {
      await writeFile(join(folder, name), "");
      const time = new Date(nowMs - minutesAgo * 60_000);
      await utimes(join(folder, name), time, time);
    }
    expect(await sweepLeftovers(folder, nowMs)).toEqual([old]);
    expect(await readdir(folder)).toEqual([young]);
  });

  it("does nothing in a directory that is not there", async () => {
    expect(await sweepLeftovers(join(await temporaryFolder(), "nowhere"))).toEqual([]);
  });
});

describe("temporaryName", () => {
  it("says which process writes, and is read back", () => {
    const { pid, started } = ownMark();
    const name = temporaryName("loftmark.json");
    expect(name).toMatch(/^\.loftmark\.json\.[0-9a-f]{8}-/);
    expect(readTemporaryName(name)).toMatchObject({ pid, started });
    expect(readTemporaryName(temporaryName("x", { ...ownMark(), started: null }))).toMatchObject({
      started: null,
    });
    expect(temporaryName("x")).not.toBe(temporaryName("x"));
  });
});
