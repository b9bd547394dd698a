import { mkdir, readdir, readFile, symlink, writeFile } from "node:fs/promises";
import { basename, join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { openFieldFolder } from "../../../src/main/store/field-folder.ts";
import { createSessionFile, sessionText } from "../../../src/main/store/session-file.ts";
import { freshSession } from "../../../src/shared/session/fresh.ts";
import { sampleSession } from "../../shared/session/sample-session.ts";
import { saveFromTwo } from "../../stress/two-writers.ts";
import { bundleProgram } from "../../support/bundle-program.ts";
import { faultOf } from "../../support/fault-of.ts";
import { snapshotOf, temporaryFolder } from "../../support/temporary-folder.ts";

async function sessionFile() {
  const path = await temporaryFolder();
  return { path, file: createSessionFile(await openFieldFolder(path)) };
}

const titled = (title: string) => ({ ...sampleSession(), title });

describe("SessionFile.read", () => {
  it("gives a fresh session named after the folder and writes nothing when there is none", async () => {
    const { path, file } = await sessionFile();
    expect(await file.read()).toEqual({
      session: freshSession(basename(path)),
      revision: "none",
      existed: false,
    });
    expect(await snapshotOf(path)).toEqual({});
  });

  it("reads what was saved, also with a byte order mark before it", async () => {
    const { path, file } = await sessionFile();
    const revision = await file.save(sampleSession(), "none");
    expect(await file.read()).toEqual({ session: sampleSession(), revision, existed: true });
    await writeFile(join(path, "loftmark.json"), `\uFEFF${sessionText(titled("marked"))}`);
    expect((await file.read()).session.title).toBe("marked");
  });

  it.each([
    ["broken-session", "{ half of it"],
    ["broken-session", ""],
    ["not-a-session", "[1, 2]"],
    ["newer-session", '{"format": "loftmark-session", "version": 99}'],
    ["bad-session", '{"format": "loftmark-session", "version": 1}'],
  ])("refuses as %s the file %j and leaves it byte for byte", async (code, text) => {
    const { path, file } = await sessionFile();
    await writeFile(join(path, "loftmark.json"), text);
    const before = await snapshotOf(path);
    expect(await faultOf(file.read())).toMatchObject({ code });
    expect(await faultOf(file.save(sampleSession(), "none"))).toMatchObject({ code: "session-changed" });
    expect(await snapshotOf(path)).toEqual(before);
  });

  it("refuses a session file that is a link or a folder", async () => {
    const [{ path, file }, outside] = [await sessionFile(), await temporaryFolder()];
    await writeFile(join(outside, "other.json"), sessionText(sampleSession()));
    await symlink(join(outside, "other.json"), join(path, "loftmark.json"));
    expect(await faultOf(file.read())).toMatchObject({ code: "outside-folder" });
    expect(await faultOf(file.save(titled("x"), "none"))).toMatchObject({ code: "outside-folder" });
    expect(await readFile(join(outside, "other.json"), "utf8")).toBe(sessionText(sampleSession()));
  });
});

describe("SessionFile.save", () => {
  it("keeps the generation before the last and leaves no other file", async () => {
    const { path, file } = await sessionFile();
    let revision = "none";
    for (const title of ["one", "two", "three"]) revision = await file.save(titled(title), revision);
    expect(await snapshotOf(path)).toEqual({
      "loftmark.json": sessionText(titled("three")),
      "loftmark.previous.json": sessionText(titled("two")),
    });
  });

  it("does nothing when the file already holds that session, so the previous generation stays", async () => {
    const { path, file } = await sessionFile();
    const one = await file.save(titled("one"), "none");
    const two = await file.save(titled("two"), one);
    const before = await snapshotOf(path);
    expect(await file.save(titled("two"), two)).toBe(two);
    expect(await snapshotOf(path)).toEqual(before);
  });

  it("refuses when the file changed, appeared or went since it was read", async () => {
    const { path, file } = await sessionFile();
    const one = await file.save(titled("one"), "none");
    await file.save(titled("two"), one);
    const before = await snapshotOf(path);
    for (const base of [one, "none", "anything"]) {
      const fault = await faultOf(file.save(titled("late"), base));
      expect(fault.code).toBe("session-changed");
      expect(fault.remedy).toContain("Reload");
    }
    expect(await snapshotOf(path)).toEqual(before);
    const other = await sessionFile();
    expect(await faultOf(other.file.save(titled("late"), one))).toMatchObject({ code: "session-changed" });
    expect(await snapshotOf(other.path)).toEqual({});
  });

  it("lets one of two saves of one base win and refuses the other", async () => {
    const { path, file } = await sessionFile();
    const base = await file.save(titled("base"), "none");
    const ends = await Promise.allSettled([
      file.save(titled("left"), base),
      file.save(titled("right"), base),
    ]);
    expect(ends.map((end) => end.status)).toEqual(["fulfilled", "rejected"]);
    expect((await file.read()).session.title).toBe("left");
    expect((await snapshotOf(path))["loftmark.previous.json"]).toBe(sessionText(titled("base")));
  });

  it("leaves the session untouched and tells why when the disk refuses", async () => {
    const { path, file } = await sessionFile();
    const base = await file.save(titled("base"), "none");
    await mkdir(join(path, "loftmark.previous.json"));
    const before = await snapshotOf(path);
    const fault = await faultOf(file.save(titled("next"), base));
    expect(fault.cause).toContain("loftmark.json could not be saved");
    expect(await snapshotOf(path)).toEqual(before);
  });
});

describe("SessionFile.save of two programs", () => {
  let program: Awaited<ReturnType<typeof bundleProgram>>;
  beforeAll(async () => {
    program = await bundleProgram("test/stress/save-when-told.ts");
  });
  afterAll(() => program.remove());

  it("loses no update that was acknowledged, together or staggered, and leaves no other file", async () => {
    const folder = await temporaryFolder();
    const rounds = { together: 12, staggered: 8 };
    const { acknowledged, lost, refusals } = await saveFromTwo(program.path, folder, rounds, 8);
    expect(lost).toEqual([]);
    expect(new Set(acknowledged).size).toBe(40);
    expect(refusals).toBeGreaterThan(0);
    expect((await readdir(folder)).sort()).toEqual(["loftmark.json", "loftmark.previous.json"]);
  });
});
