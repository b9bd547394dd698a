import { chmod, chown, mkdir, readdir, readFile, stat, symlink, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { writeAtomically } from "../../../src/main/store/atomic-write.ts";
import { killWrites } from "../../stress/write-kills.ts";
import { bundleProgram } from "../../support/bundle-program.ts";
import { faultOf } from "../../support/fault-of.ts";
import { snapshotOf, temporaryFolder } from "../../support/temporary-folder.ts";

describe("writeAtomically", () => {
  it("leaves neither a half file nor a temporary one when it fails", async () => {
    const folder = await temporaryFolder();
    await mkdir(join(folder, "target"));
    await writeFile(join(folder, "target", "inside"), "kept");
    await expect(writeAtomically(join(folder, "target"), "new")).rejects.toThrow("EISDIR");
    await expect(writeAtomically(join(folder, "no", "target"), "new")).rejects.toThrow("ENOENT");
    expect(await snapshotOf(folder)).toEqual({ "target/inside": "kept" });
  });
  it("keeps the mode and owner of the file it replaces, and gives a new one the mode of any new file", async () => {
    const folder = await temporaryFolder();
    const path = join(folder, "target");
    await writeAtomically(path, "one");
    const usual = (await stat(path)).mode;
    await writeFile(join(folder, "plain"), "");
    expect(usual).toBe((await stat(join(folder, "plain"))).mode);
    for (const mode of [0o600, 0o640, 0o666, 0o755]) {
      await chmod(path, mode);
      const { uid, gid } = await stat(path);
      await writeAtomically(path, `mode ${mode}`);
      const after = await stat(path);
      expect([after.mode & 0o777, after.uid, after.gid]).toEqual([mode, uid, gid]);
      expect(await readFile(path, "utf8")).toBe(`mode ${mode}`);
    }
  });

  it.runIf(process.getuid?.() === 0)("leaves a file to its owner when the administrator saves", async () => {
    const folder = await temporaryFolder();
    const path = join(folder, "target");
    await writeFile(path, "theirs");
    await chown(path, 1234, 4321);
    await writeAtomically(path, "new");
    const { uid, gid } = await stat(path);
    expect([uid, gid, await readFile(path, "utf8")]).toEqual([1234, 4321, "new"]);
  });

  it("does not overwrite a file that is marked read-only, and says how to allow it", async () => {
    const folder = await temporaryFolder();
    const path = join(folder, "loftmark.json");
    await writeFile(path, "kept");
    await chmod(path, 0o444);
    const fault = await faultOf(writeAtomically(path, "new"));
    expect(fault).toEqual({
      code: "file-read-only",
      cause: "The file loftmark.json is marked read-only, so it was left as it is.",
      remedy: expect.stringContaining("Allow writing"),
    });
    expect(await snapshotOf(folder)).toEqual({ "loftmark.json": "kept" });
    expect((await stat(path)).mode & 0o777).toBe(0o444);
  });

  it("replaces a link without following it", async () => {
    const [folder, outside] = [await temporaryFolder(), await temporaryFolder()];
    await writeFile(join(outside, "other"), "kept");
    await symlink(join(outside, "other"), join(folder, "target"));
    await writeAtomically(join(folder, "target"), "new");
    expect([await snapshotOf(folder), await snapshotOf(outside)]).toEqual([
      { target: "new" },
      { other: "kept" },
    ]);
  });

  it("writes names as long as a name may be", async () => {
    const folder = await temporaryFolder();
    for (const name of ["n".repeat(255), "é".repeat(127)]) {
      await writeAtomically(join(folder, name), "long");
      expect(await readFile(join(folder, name), "utf8")).toBe("long");
    }
    expect(await readdir(folder)).toHaveLength(2);
  });
});

describe("writeAtomically in a process that is killed", () => {
  let program: Awaited<ReturnType<typeof bundleProgram>>;
  beforeAll(async () => {
    program = await bundleProgram("test/stress/write-on-and-on.ts");
  });
  afterAll(() => program.remove());

  it("leaves a whole file whenever the kill comes, and nothing that is not swept", async () => {
    const outcome = await killWrites(program.path, await temporaryFolder(), { seed: 8, kills: 4 });
    expect(outcome.failures).toEqual([]);
  });
});
