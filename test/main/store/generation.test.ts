import { chmod, mkdir, readdir, readFile, rename, rm, stat, symlink, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import {
  isGenerationAlone,
  recoverGeneration,
  writeAmongOthers,
  writeGeneration,
} from "../../../src/main/store/generation.ts";
import { writeFilesInto } from "../../../src/main/store/write-up-place.ts";
import { killWriteUps } from "../../stress/write-up-kills.ts";
import { bundleProgram } from "../../support/bundle-program.ts";
import { faultOf } from "../../support/fault-of.ts";
import { snapshotOf, temporaryFolder } from "../../support/temporary-folder.ts";
import { withoutRights } from "../../support/without-rights.ts";

const LIST = ".loftmark-write-up.json";
const ASIDE = ".write-up.loftmark-before";

const generation = (number: number, ...names: readonly string[]) =>
  names.map((name) => ({ name, text: `${name} of ${number}` }));

/** The files of a folder but the lists of generations. */
async function filesOf(folder: string): Promise<Readonly<Record<string, string>>> {
  const all = Object.entries(await snapshotOf(folder));
  return Object.fromEntries(all.filter(([name]) => !name.endsWith(LIST)));
}

describe("writeGeneration", () => {
  it("replaces the whole generation, so that no file of the last one stays among the new", async () => {
    const parent = await temporaryFolder();
    await writeGeneration(parent, "write-up", generation(1, "report.html", "figures/a.svg", "figures/b.svg"));
    await writeGeneration(parent, "write-up", generation(2, "report.html", "figures/a.svg"));
    expect(await filesOf(parent)).toEqual({
      "write-up/report.html": "report.html of 2",
      "write-up/figures/a.svg": "figures/a.svg of 2",
    });
    expect(await readdir(parent)).toEqual(["write-up"]);
  });

  it("keeps what is the person's: files, folders, links, and what was changed since", async () => {
    const [parent, outside] = [await temporaryFolder(), await temporaryFolder()];
    const place = join(parent, "write-up");
    await writeGeneration(parent, "write-up", generation(1, "marks.csv", "figures/a.svg"));
    await writeFile(join(place, "notes.txt"), "mine");
    await writeFile(join(place, "figures", "mine.svg"), "mine");
    await mkdir(join(place, "empty"));
    await mkdir(join(place, "photos"));
    await writeFile(join(place, "photos", "x.jpg"), "mine");
    await symlink(outside, join(place, "link"));
    await writeFile(join(place, "marks.csv"), "mine now");
    await writeFile(join(place, ".DS_Store"), "nobody's");
    for (const number of [2, 3]) {
      await writeGeneration(parent, "write-up", generation(number, "marks.csv", "figures/a.svg"));
      expect(await filesOf(parent)).toEqual({
        "write-up/marks.csv": `marks.csv of ${number}`,
        "write-up/marks (kept).csv": "mine now",
        "write-up/figures/a.svg": `figures/a.svg of ${number}`,
        "write-up/figures/mine.svg": "mine",
        "write-up/notes.txt": "mine",
        "write-up/photos/x.jpg": "mine",
      });
      expect(await readdir(place)).toEqual(expect.arrayContaining(["empty", "link"]));
    }
    await writeFile(join(place, "marks.csv"), "mine again");
    await writeGeneration(parent, "write-up", generation(4, "marks.csv"));
    expect(await readFile(join(place, "marks (kept 2).csv"), "utf8")).toBe("mine again");
    expect(await readdir(outside)).toEqual([]);
  });

  it("removes nothing that a list names which Loftmark did not write", async () => {
    const [parent, outside] = [await temporaryFolder(), await temporaryFolder()];
    await writeFile(join(outside, "precious"), "");
    await writeGeneration(parent, "write-up", generation(1, "a.csv"));
    const empty = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"; // SHA-256 of nothing
    await symlink(outside, join(parent, "write-up", "link"));
    const files = { "link/precious": [empty], [`../../${outside.split("/").at(-1)}/precious`]: [empty] };
    await writeFile(join(parent, "write-up", LIST), JSON.stringify({ format: "loftmark-write-up", files }));
    await writeGeneration(parent, "write-up", generation(2, "a.csv"));
    expect(await readdir(outside)).toEqual(["precious"]);
    expect(await filesOf(parent)).toMatchObject({
      "write-up/a.csv": "a.csv of 2",
      "write-up/a (kept).csv": "a.csv of 1", // no list says any more that it is Loftmark's
    });
  });

  it("leaves the present generation as it is when the new one cannot be written", async () => {
    const parent = await temporaryFolder();
    await writeGeneration(parent, "write-up", generation(1, "a.csv"));
    const before = await snapshotOf(parent);
    const clash = [...generation(2, "a.csv"), { name: "a.csv/b", text: "" }];
    await expect(writeGeneration(parent, "write-up", clash)).rejects.toThrow("EEXIST");
    expect(await faultOf(writeGeneration(parent, "write-up", [{ name: "../x", text: "" }]))).toMatchObject({
      code: "bad-clip-name",
    });
    expect(await snapshotOf(parent)).toEqual(before);
    expect(await readdir(parent)).toEqual(["write-up"]);
  });

  it("refuses to take the place of a file", async () => {
    const parent = await temporaryFolder();
    await writeFile(join(parent, "write-up"), "mine");
    const fault = await faultOf(writeGeneration(parent, "write-up", generation(1, "a.csv")));
    expect(fault.code).toBe("in-the-way");
    expect(await snapshotOf(parent)).toEqual({ "write-up": "mine" });
  });
});

describe("recoverGeneration", () => {
  async function interrupted() {
    const parent = await temporaryFolder();
    await writeGeneration(parent, "write-up", generation(1, "a.csv", "figures/a.svg"));
    await writeFile(join(parent, "write-up", "notes.txt"), "mine");
    await rename(join(parent, "write-up"), join(parent, ASIDE));
    return parent;
  }

  it("puts the old generation back when the new one had not come to its place", async () => {
    const parent = await interrupted();
    await recoverGeneration(parent, "write-up");
    expect(await filesOf(parent)).toEqual({
      "write-up/a.csv": "a.csv of 1",
      "write-up/figures/a.svg": "figures/a.svg of 1",
      "write-up/notes.txt": "mine",
    });
    expect(await readdir(parent)).toEqual(["write-up"]);
  });

  it("moves what is the person's over when the new one was in its place, wherever that had stopped", async () => {
    for (const moved of [false, true]) {
      const parent = await interrupted();
      const fresh = await temporaryFolder();
      await writeGeneration(fresh, "write-up", generation(2, "a.csv"));
      await rename(join(fresh, "write-up"), join(parent, "write-up"));
      if (moved) await rename(join(parent, ASIDE, "notes.txt"), join(parent, "write-up", "notes.txt"));
      await recoverGeneration(parent, "write-up");
      expect(await filesOf(parent)).toEqual({ "write-up/a.csv": "a.csv of 2", "write-up/notes.txt": "mine" });
      expect(await readdir(parent)).toEqual(["write-up"]);
    }
  });

  it("keeps the list until all else is done, so that what it could not finish can be told apart later", async () => {
    for (let trial = 0; trial < 8; trial++) {
      // Folders come in any order, so each trial stops at another place among the files.
      const parent = await temporaryFolder();
      const names = [`${trial}/a.svg`, "report.html", "marks.csv", "motion.csv"];
      await writeGeneration(parent, "write-up", generation(1, ...names));
      await rename(join(parent, "write-up"), join(parent, ASIDE));
      const fresh = await temporaryFolder();
      await writeGeneration(fresh, "write-up", generation(2, ...names));
      await rename(join(fresh, "write-up"), join(parent, "write-up"));
      for (const path of [parent, join(parent, ASIDE)]) await chmod(path, 0o777);
      await withoutRights(join(parent, ASIDE, String(trial)), async () => {
        await expect(recoverGeneration(parent, "write-up")).rejects.toThrow("EACCES");
      });
      await recoverGeneration(parent, "write-up");
      const text = Object.values(await filesOf(parent));
      expect(text.sort()).toEqual(names.map((name) => `${name} of 2`).sort());
      expect(await readdir(parent)).toEqual(["write-up"]);
    }
  });

  it("loses neither when the person made a folder of that name in between", async () => {
    const parent = await interrupted();
    await mkdir(join(parent, "write-up"));
    await writeFile(join(parent, "write-up", "a.csv"), "mine");
    await recoverGeneration(parent, "write-up");
    expect(await filesOf(parent)).toEqual({
      "write-up/a.csv": "mine",
      "write-up/a (kept).csv": "a.csv of 1",
      "write-up/figures/a.svg": "figures/a.svg of 1",
      "write-up/notes.txt": "mine",
    });
    expect(await readdir(parent)).toEqual(["write-up"]);
  });

  it("does nothing when nothing was interrupted", async () => {
    const parent = await temporaryFolder();
    await recoverGeneration(parent, "write-up");
    expect(await readdir(parent)).toEqual([]);
  });
});

describe("writeFilesInto", () => {
  const elsewhere = "/";

  it("exchanges a folder that is new or holds nothing but its own generation", async () => {
    const parent = await temporaryFolder();
    const place = join(parent, "out", "here");
    await writeFilesInto(place, generation(1, "a.csv", "figures/b.svg"), elsewhere);
    expect(await isGenerationAlone(place)).toBe(true);
    await writeFilesInto(place, generation(2, "a.csv"), elsewhere);
    expect(await filesOf(parent)).toEqual({ "out/here/a.csv": "a.csv of 2" });
    expect(await readdir(join(parent, "out"))).toEqual(["here"]);
  });

  it("writes among a person's other things without moving their folder, and takes away its own old files", async () => {
    const place = await temporaryFolder();
    await writeFile(join(place, "letter.txt"), "mine");
    await writeFile(join(place, "a.csv"), "mine");
    const { ino } = await stat(place);
    await writeFilesInto(place, generation(1, "a.csv", "figures/b.svg"), elsewhere);
    await writeFilesInto(place, generation(2, "a.csv"), elsewhere);
    expect(await filesOf(place)).toEqual({
      "a.csv": "a.csv of 2",
      "a (kept).csv": "mine",
      "letter.txt": "mine",
    });
    expect((await stat(place)).ino).toBe(ino);
    expect((await readdir(place)).filter((name) => name.endsWith(".tmp"))).toEqual([]);
  });

  it("does not exchange the folder that the person stands in", async () => {
    const place = await temporaryFolder();
    const { ino } = await stat(place);
    for (const number of [1, 2]) await writeFilesInto(place, generation(number, "a.csv"), place);
    expect((await stat(place)).ino).toBe(ino);
    expect(await filesOf(place)).toEqual({ "a.csv": "a.csv of 2" });
  });

  it("writes nothing through a link among a person's things", async () => {
    const [place, outside] = [await temporaryFolder(), await temporaryFolder()];
    await symlink(outside, join(place, "figures"));
    expect(await faultOf(writeAmongOthers(place, generation(1, "figures/a.svg")))).toMatchObject({
      code: "outside-folder",
    });
    expect([await readdir(outside), await readdir(place)]).toEqual([[], ["figures"]]);
    await rm(join(place, "figures"));
  });
});

describe("a write-up in a process that is killed", () => {
  let program: Awaited<ReturnType<typeof bundleProgram>>;
  beforeAll(async () => {
    program = await bundleProgram("test/stress/write-up-on-and-on.ts");
  });
  afterAll(() => program.remove());

  it("is one whole generation after each kill, with everything that is the person's and nothing else", async () => {
    const outcome = await killWriteUps(program.path, await temporaryFolder(), { seed: 8, kills: 4 });
    expect(outcome.failures).toEqual([]);
  });
});
