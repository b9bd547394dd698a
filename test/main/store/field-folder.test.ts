import { mkdir, readFile, symlink, writeFile } from "node:fs/promises";
import { basename, join } from "node:path";
import { describe, expect, it } from "vitest";
import { openFieldFolder } from "../../../src/main/store/field-folder.ts";
import { faultOf } from "../../support/fault-of.ts";
import { snapshotOf, temporaryFolder } from "../../support/temporary-folder.ts";

describe("openFieldFolder", () => {
  it("refuses what is not there and what is a file", async () => {
    const folder = await temporaryFolder();
    await writeFile(join(folder, "clip.mp4"), "x");
    expect(await faultOf(openFieldFolder(join(folder, "nowhere")))).toMatchObject({ code: "no-such-folder" });
    expect(await faultOf(openFieldFolder(join(folder, "clip.mp4")))).toMatchObject({ code: "not-a-folder" });
  });

  it("resolves a link to the folder and names it by its own name", async () => {
    const [folder, other] = [await temporaryFolder(), await temporaryFolder()];
    await symlink(folder, join(other, "link"));
    const opened = await openFieldFolder(join(other, "link"));
    expect([opened.path, opened.name]).toEqual([folder, basename(folder)]);
  });
});

describe("FieldFolder.listClips", () => {
  it("lists videos directly in the folder as a person counts, with size and time, and nothing hidden", async () => {
    const folder = await temporaryFolder();
    for (const name of [
      "shot 10.mp4",
      "shot 2.MOV",
      "été's.mkv",
      "-dash.avi",
      ".hidden.mp4",
      "notes.txt",
      "a.jpg",
    ]) {
      await writeFile(join(folder, name), name);
    }
    await mkdir(join(folder, "folder.mp4"));
    const clips = await (await openFieldFolder(folder)).listClips();
    expect(clips.map((clip) => clip.name)).toEqual(["-dash.avi", "été's.mkv", "shot 2.MOV", "shot 10.mp4"]);
    expect(clips[2]).toMatchObject({ bytes: 10, modifiedMs: expect.closeTo(Date.now(), -4) });
  });

  it("leaves out links that lead out of the folder or nowhere and takes links within it", async () => {
    const [folder, outside] = [await temporaryFolder(), await temporaryFolder()];
    await writeFile(join(outside, "secret.mp4"), "secret");
    await writeFile(join(folder, "one.mp4"), "one");
    await symlink(join(outside, "secret.mp4"), join(folder, "out.mp4"));
    await symlink(join(folder, "one.mp4"), join(folder, "same.mp4"));
    await symlink(join(folder, "gone"), join(folder, "gone.mp4"));
    const clips = await (await openFieldFolder(folder)).listClips();
    expect(clips.map((clip) => clip.name)).toEqual(["one.mp4", "same.mp4"]);
  });
});

describe("FieldFolder.findClip", () => {
  it("finds a clip whatever its name", async () => {
    const folder = await temporaryFolder();
    for (const name of ["-i.mp4", "a 'b' \"c\".mp4", "日本 %2e.mp4"]) {
      await writeFile(join(folder, name), "12345");
      const clip = await (await openFieldFolder(folder)).findClip(name);
      expect(clip).toMatchObject({ name, bytes: 5, path: join(folder, name) });
    }
  });

  it.each([
    "",
    ".",
    "..",
    "../x.mp4",
    "a/b.mp4",
    "a\\b.mp4",
    "/etc/passwd",
    "C:x.mp4",
    "a\0.mp4",
    ".hidden.mp4",
    "x".repeat(256),
  ])("refuses the name %j before touching the disk", async (name) => {
    const folder = await openFieldFolder(await temporaryFolder());
    expect(await faultOf(folder.findClip(name))).toMatchObject({ code: "bad-clip-name" });
  });

  it("refuses a clip that is not there, a folder, and a link out of the folder", async () => {
    const [path, outside] = [await temporaryFolder(), await temporaryFolder()];
    await writeFile(join(outside, "secret.mp4"), "secret");
    await symlink(join(outside, "secret.mp4"), join(path, "out.mp4"));
    await mkdir(join(path, "folder.mp4"));
    const folder = await openFieldFolder(path);
    expect(await faultOf(folder.findClip("none.mp4"))).toMatchObject({ code: "no-such-clip" });
    expect(await faultOf(folder.findClip("folder.mp4"))).toMatchObject({ code: "no-such-clip" });
    expect(await faultOf(folder.findClip("out.mp4"))).toMatchObject({ code: "outside-folder" });
  });

  it("does not take a neighbour folder whose name begins alike for the folder itself", async () => {
    const parent = await temporaryFolder();
    await mkdir(join(parent, "day"));
    await mkdir(join(parent, "day-two"));
    await writeFile(join(parent, "day-two", "x.mp4"), "x");
    await symlink(join(parent, "day-two", "x.mp4"), join(parent, "day", "x.mp4"));
    const folder = await openFieldFolder(join(parent, "day"));
    expect(await faultOf(folder.findClip("x.mp4"))).toMatchObject({ code: "outside-folder" });
  });
});

describe("FieldFolder.writeUp", () => {
  const files = [
    { name: "results.json", text: "{}" },
    { name: "marks.csv", text: "µ" },
  ];

  it("writes whole files into write-up and names them from the folder", async () => {
    const path = await temporaryFolder();
    const folder = await openFieldFolder(path);
    expect(await folder.writeUp(files)).toEqual(["write-up/results.json", "write-up/marks.csv"]);
    await folder.writeUp([{ name: "results.json", text: "new" }]);
    expect(Object.keys(await snapshotOf(path))).toEqual(["write-up/marks.csv", "write-up/results.json"]);
    expect(await readFile(join(path, "write-up/results.json"), "utf8")).toBe("new");
  });

  it("writes nothing when write-up is a link out of the folder, or a file's name is a path", async () => {
    const [path, outside] = [await temporaryFolder(), await temporaryFolder()];
    await symlink(outside, join(path, "write-up"));
    const folder = await openFieldFolder(path);
    expect(await faultOf(folder.writeUp(files))).toMatchObject({ code: "outside-folder" });
    expect(await faultOf(folder.writeUp([{ name: "../x", text: "" }]))).toMatchObject({
      code: "bad-clip-name",
    });
    expect(await snapshotOf(outside)).toEqual({});
  });

  it("makes folders that names have, and writes nothing through one that leads out", async () => {
    const [path, outside] = [await temporaryFolder(), await temporaryFolder()];
    const folder = await openFieldFolder(path);
    const figure = { name: "figures/shot-1.svg", text: "<svg/>" };
    expect(await folder.writeUp([figure])).toEqual(["write-up/figures/shot-1.svg"]);
    expect(await snapshotOf(path)).toEqual({ "write-up/figures/shot-1.svg": "<svg/>" });
    await symlink(outside, join(path, "write-up", "out"));
    expect(await faultOf(folder.writeUp([{ name: "out/x.svg", text: "" }]))).toMatchObject({
      code: "outside-folder",
    });
    for (const name of ["figures/../../x", "/x", "a//b", "figures\\x"]) {
      expect(await faultOf(folder.writeUp([{ name, text: "" }])), name).toMatchObject({
        code: "bad-clip-name",
      });
    }
    expect(await snapshotOf(outside)).toEqual({});
  });

  it("replaces a link at a file's place instead of writing through it", async () => {
    const [path, outside] = [await temporaryFolder(), await temporaryFolder()];
    await writeFile(join(outside, "precious"), "precious");
    await mkdir(join(path, "write-up"));
    await symlink(join(outside, "precious"), join(path, "write-up", "marks.csv"));
    await (await openFieldFolder(path)).writeUp(files);
    expect(await readFile(join(outside, "precious"), "utf8")).toBe("precious");
    expect(await readFile(join(path, "write-up", "marks.csv"), "utf8")).toBe("µ");
  });
});
