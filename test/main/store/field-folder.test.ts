import { chmod, mkdir, readdir, readFile, rename, rm, stat, symlink, writeFile } from "node:fs/promises";
import { basename, join } from "node:path";
import { describe, expect, it } from "vitest";
import { openFieldFolder } from "../../../src/main/store/field-folder.ts";
import { sameFolder } from "../../../src/main/store/folder-identity.ts";
import { ownMark } from "../../../src/main/store/process-mark.ts";
import { temporaryName } from "../../../src/main/store/temporary-name.ts";
import { faultOf } from "../../support/fault-of.ts";
import { snapshotOf, temporaryFolder } from "../../support/temporary-folder.ts";
import { withoutRights } from "../../support/without-rights.ts";

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

describe("FieldFolder.access", () => {
  const refusing = (code: string) => async () => {
    throw Object.assign(new Error(code), { code });
  };

  it("says that it can be written, and leaves nothing of the trial", async () => {
    const path = await temporaryFolder();
    const folder = await openFieldFolder(path);
    expect(await folder.access()).toEqual({ access: "writable", reason: null });
    expect(await readdir(path)).toEqual([]);
    await folder.mustBeWritable();
  });

  it.each([
    ["EROFS", "the disk is read-only"],
    ["EACCES", "you have no right to it"],
    ["EPERM", "the system does not allow it"],
  ])("says on %s that it is read-only, and why", async (code, reason) => {
    const folder = await openFieldFolder(await temporaryFolder(), { probe: refusing(code) });
    expect(await folder.access()).toEqual({ access: "read-only", reason });
    expect(await faultOf(folder.mustBeWritable())).toEqual({
      code: "folder-read-only",
      cause: `The folder "${folder.name}" is read-only: ${reason}.`,
      remedy: "Copy the folder to a disk of your own and use the copy.",
    });
    expect(await faultOf(folder.writeUp([]))).toMatchObject({ remedy: expect.stringContaining("--out DIR") });
  });

  it("takes a full disk for one that can be written, and words a disk that does not answer", async () => {
    const path = await temporaryFolder();
    const full = await openFieldFolder(path, { probe: refusing("ENOSPC") });
    expect((await full.access()).access).toBe("writable");
    const broken = await openFieldFolder(path, { probe: refusing("EIO") });
    expect((await faultOf(broken.access())).code).toBe("disk-error");
  });

  it("is tried for real: a folder without the right to write is read-only", async () => {
    const path = await temporaryFolder();
    const folder = await openFieldFolder(path);
    await withoutRights(path, async () => {
      expect(await folder.access()).toEqual({ access: "read-only", reason: "you have no right to it" });
    });
    expect((await folder.access()).access).toBe("writable");
  });

  it("clears away what killed processes left, once it can be written", async () => {
    const path = await temporaryFolder();
    const name = temporaryName("loftmark.json", { ...ownMark(), started: "1" });
    await mkdir(join(path, "loftmark.history"));
    for (const place of [path, join(path, "loftmark.history")]) await writeFile(join(place, name), "half");
    await (await openFieldFolder(path, { probe: refusing("EROFS") })).access();
    expect(await readdir(path)).toEqual([name, "loftmark.history"].sort());
    await (await openFieldFolder(path)).access();
    expect(await readdir(path)).toEqual(["loftmark.history"]);
    expect(await readdir(join(path, "loftmark.history"))).toEqual([]);
  });
});

describe("a FieldFolder that is gone", () => {
  it("says so at every call, and goes on when it is back", async () => {
    const path = await temporaryFolder();
    await writeFile(join(path, "a.mp4"), "x");
    const folder = await openFieldFolder(path);
    const calls = [
      () => folder.mustBeThere(),
      () => folder.access(),
      () => folder.mustBeWritable(),
      () => folder.listClips(),
      () => folder.findClip("a.mp4"),
      () => folder.writeUp([{ name: "a.txt", text: "" }]),
    ];
    await rename(path, `${path} moved`);
    for (const call of calls) expect((await faultOf(call())).code).toBe("folder-gone");
    await mkdir(path);
    for (const call of calls) expect((await faultOf(call())).cause).toContain("another one is in its place");
    expect(await readdir(path)).toEqual([]);
    await rm(path, { recursive: true });
    await rename(`${path} moved`, path);
    expect(await folder.listClips()).toHaveLength(1);
  });

  it("is told from one that was changed, however it was changed", async () => {
    const path = await temporaryFolder();
    const folder = await openFieldFolder(path);
    await writeFile(join(path, "a.mp4"), "x");
    await rm(join(path, "a.mp4"));
    await chmod(path, 0o700);
    await folder.mustBeThere();
  });
});

describe("sameFolder", () => {
  const one = { device: 1n, inode: 10n, bornNs: 100n };

  it("goes by when it was made, then by device and inode", () => {
    expect(sameFolder(one, one, true)).toBe(true);
    expect(sameFolder(one, { ...one, bornNs: 101n }, true)).toBe(false); // the inode given to the next folder
    expect(sameFolder(one, { ...one, inode: 11n }, true)).toBe(true); // exFAT numbered it again
    expect(sameFolder(one, { ...one, device: 2n }, true)).toBe(true); // the card was put back
    expect(sameFolder(one, { ...one, device: 2n, inode: 11n }, true)).toBe(false);
  });

  it("without that goes by inode, unless the driver's inodes do not last", () => {
    const plain = { ...one, bornNs: 0n };
    expect(sameFolder(plain, { ...plain, inode: 11n }, true)).toBe(false);
    expect(sameFolder(plain, { ...plain, inode: 11n }, false)).toBe(true);
    expect(sameFolder(plain, { ...plain, device: 2n }, false)).toBe(false);
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
    expect(clips[2]).toMatchObject({
      bytes: 10,
      modifiedMs: (await stat(join(folder, "shot 2.MOV"))).mtimeMs,
    });
  });

  it("takes links within the folder, and lists those that lead out or nowhere with the reason", async () => {
    const [folder, outside] = [await temporaryFolder(), await temporaryFolder()];
    await writeFile(join(outside, "secret.mp4"), "secret");
    await writeFile(join(folder, "one.mp4"), "one");
    await symlink(join(outside, "secret.mp4"), join(folder, "out.mp4"));
    await symlink(join(folder, "one.mp4"), join(folder, "same.mp4"));
    await symlink(join(folder, "gone"), join(folder, "gone.mp4"));
    const clips = await (await openFieldFolder(folder)).listClips();
    expect(clips.map(({ name, fault }) => [name, fault?.code])).toEqual([
      ["gone.mp4", "broken-link"],
      ["one.mp4", undefined],
      ["out.mp4", "outside-folder"],
      ["same.mp4", undefined],
    ]);
    expect(clips[2]).toMatchObject({ bytes: 0, fault: { remedy: expect.stringContaining("Copy the file") } });
  });

  it("lists every name that the system allows, and those that cannot be used with the reason", async () => {
    const folder = await temporaryFolder();
    const names = ["12:30 shot.mp4", "a\\b.mp4", "C:x.mp4", "line\nbreak.mp4"];
    for (const name of names) await writeFile(join(folder, name), "12345");
    await writeFile(
      Buffer.concat([Buffer.from(`${folder}/bad`), Buffer.from([0xff]), Buffer.from(".mp4")]),
      "",
    );
    const clips = await (await openFieldFolder(folder)).listClips();
    const byName = Object.fromEntries(clips.map(({ name, bytes, fault }) => [name, fault?.code ?? bytes]));
    expect(byName).toEqual({
      "12:30 shot.mp4": 5,
      "a\\b.mp4": 5,
      "C:x.mp4": 5,
      "line\nbreak.mp4": "bad-clip-name",
      "bad\uFFFD.mp4": "bad-clip-name",
    });
    const onWindows = await (await openFieldFolder(folder, { platform: "win32" })).listClips();
    expect(onWindows.every(({ fault }) => fault?.code === "bad-clip-name")).toBe(true);
  });
});

describe("FieldFolder.findClip", () => {
  it("finds a clip whatever its name", async () => {
    const folder = await temporaryFolder();
    for (const name of ["-i.mp4", "a 'b' \"c\".mp4", "日本 %2e.mp4", "12:30.mp4", "a\\b.mp4", "C:x.mp4"]) {
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
    "/etc/passwd",
    "..\\x.mp4",
    "a\0.mp4",
    "a\nb.mp4",
    ".hidden.mp4",
    "x".repeat(256),
  ])("refuses the name %j before touching the disk", async (name) => {
    const folder = await openFieldFolder(await temporaryFolder());
    expect(await faultOf(folder.findClip(name))).toMatchObject({ code: "bad-clip-name" });
  });

  it.each(["a\\b.mp4", "C:x.mp4", "a.mp4:stream", "NUL.mp4", "com1"])(
    "refuses the name %j on Windows, where it leads elsewhere",
    async (name) => {
      const folder = await openFieldFolder(await temporaryFolder(), { platform: "win32" });
      expect(await faultOf(folder.findClip(name))).toMatchObject({ code: "bad-clip-name" });
    },
  );

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
    await folder.writeUp([{ name: "results.json", text: "new" }, files[1]!]);
    expect((await readdir(join(path, "write-up"))).sort()).toEqual([
      ".loftmark-write-up.json",
      "marks.csv",
      "results.json",
    ]);
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
    expect(await snapshotOf(path)).toMatchObject({ "write-up/figures/shot-1.svg": "<svg/>" });
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
