import { link, mkdir, readdir, readFile, stat, symlink, utimes, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { type AddClipSystem, addClip } from "../../../src/main/store/add-clip.ts";
import { openFieldFolder } from "../../../src/main/store/field-folder.ts";
import { ownMark } from "../../../src/main/store/process-mark.ts";
import { temporaryName } from "../../../src/main/store/temporary-name.ts";
import { faultOf } from "../../support/fault-of.ts";
import { snapshotOf, temporaryFolder } from "../../support/temporary-folder.ts";
import { withoutRights } from "../../support/without-rights.ts";

const FILMED_MS = Date.UTC(2026, 4, 3, 10, 20, 30);

const roomy: AddClipSystem = { freeBytes: async () => 1e12, link, platform: "linux" };

async function* pieces(...texts: readonly string[]): AsyncGenerator<Uint8Array> {
  for (const text of texts) yield Buffer.from(text);
}

function clipOf(name: string, text: string) {
  return { name, bytes: Buffer.byteLength(text), modifiedMs: FILMED_MS };
}

/** Adds a clip of that text to the folder. */
function add(folder: string, name: string, text: string, parts = roomy) {
  const work = { signal: new AbortController().signal };
  return addClip(folder, clipOf(name, text), pieces(text.slice(0, 3), text.slice(3)), work, parts);
}

describe("addClip", () => {
  it("puts a clip there whole, with the time it was filmed, and says how far it is", async () => {
    const folder = await temporaryFolder();
    const seen: number[] = [];
    const during: string[][] = [];
    const work = {
      signal: new AbortController().signal,
      onBytes: (bytes: number) => seen.push(bytes),
    };
    async function* watched(): AsyncGenerator<Uint8Array> {
      for await (const piece of pieces("new ", "clip")) {
        during.push(await readdir(folder));
        yield piece;
      }
    }
    const added = await addClip(folder, clipOf("shot-3.mp4", "new clip"), watched(), work, roomy);
    expect(added).toEqual({ name: "shot-3.mp4", copied: true });
    expect(await snapshotOf(folder)).toEqual({ "shot-3.mp4": "new clip" });
    expect((await stat(join(folder, "shot-3.mp4"))).mtimeMs).toBe(FILMED_MS);
    expect(seen).toEqual([4, 8]);
    // Until it is whole it has no name that counts as a clip.
    expect(during.flat().filter((name) => !/^\.shot-3\.mp4\..+\.tmp$/.test(name))).toEqual([]);
    expect(during[1]).toHaveLength(1);
  });

  it("replaces nothing: another clip of the name stays, and so does a link or a folder of it", async () => {
    const folder = await temporaryFolder();
    await writeFile(join(folder, "a.mp4"), "older one");
    await symlink("nowhere", join(folder, "a (2).mp4"));
    await mkdir(join(folder, "a (3).mp4"));
    expect(await add(folder, "a.mp4", "newer one")).toEqual({ name: "a (4).mp4", copied: true });
    expect(await snapshotOf(folder)).toEqual({ "a.mp4": "older one", "a (4).mp4": "newer one" });
  });

  it("adds nothing where the folder has the very content under the name, or under a numbered one", async () => {
    const folder = await temporaryFolder();
    await writeFile(join(folder, "a.mp4"), "older one");
    await writeFile(join(folder, "a (2).mp4"), "newer one");
    const before = await snapshotOf(folder);
    expect(await add(folder, "a.mp4", "older one")).toEqual({ name: "a.mp4", copied: false });
    expect(await add(folder, "a.mp4", "newer one")).toEqual({ name: "a (2).mp4", copied: false });
    expect(await snapshotOf(folder)).toEqual(before);
  });

  it("gives two that come at once under one name two names", async () => {
    const folder = await temporaryFolder();
    const added = await Promise.all(
      ["one", "two", "one"].map((text) => add(folder, "a.mp4", `clip ${text}`)),
    );
    expect(new Set(added.filter(({ copied }) => copied).map(({ name }) => name))).toEqual(
      new Set(["a.mp4", "a (2).mp4"]),
    );
    expect(Object.values(await snapshotOf(folder)).sort()).toEqual(["clip one", "clip two"]);
  });

  it("does the same on a disk that knows no second names of a file", async () => {
    const folder = await temporaryFolder();
    await writeFile(join(folder, "a.mp4"), "older one");
    const card: AddClipSystem = {
      ...roomy,
      async link(from, to) {
        await stat(to).then(
          () => Promise.reject(Object.assign(new Error("there"), { code: "EEXIST" })),
          () => Promise.reject(Object.assign(new Error("FAT"), { code: "EPERM" })),
        );
        await link(from, to);
      },
    };
    expect(await add(folder, "a.mp4", "newer one", card)).toEqual({ name: "a (2).mp4", copied: true });
    expect(await snapshotOf(folder)).toEqual({ "a.mp4": "older one", "a (2).mp4": "newer one" });
  });

  it.each([
    ["../a.mp4", "bad-clip-name"],
    ["/etc/a.mp4", "bad-clip-name"],
    ["..", "bad-clip-name"],
    [".hidden.mp4", "bad-clip-name"],
    ["a\u0000.mp4", "bad-clip-name"],
    ["loftmark.json", "not-a-video"],
    ["notes.txt", "not-a-video"],
    ["mp4", "not-a-video"],
    [`${"x".repeat(252)}.mp4`, "bad-clip-name"],
  ])("refuses the name %j as %s, and reads and writes nothing", async (name, code) => {
    const folder = await temporaryFolder();
    let read = false;
    async function* never(): AsyncGenerator<Uint8Array> {
      read = true;
      yield Buffer.from("x");
    }
    const work = { signal: new AbortController().signal };
    expect(await faultOf(addClip(folder, clipOf(name, "x"), never(), work, roomy))).toMatchObject({ code });
    expect([read, await readdir(folder)]).toEqual([false, []]);
  });

  it("refuses names that lead elsewhere on Windows, there", async () => {
    const windows = { ...roomy, platform: "win32" };
    const folder = await temporaryFolder();
    for (const name of ["..\\a.mp4", "c:a.mp4", "con.mp4"])
      expect((await faultOf(add(folder, name, "clip", windows))).code).toBe("bad-clip-name");
    expect(await readdir(folder)).toEqual([]);
  });

  it("refuses what leaves no room for the session, with the sizes; to the byte it takes it", async () => {
    const folder = await temporaryFolder();
    const text = "x".repeat(2_500_000);
    const left = (bytes: number) => ({ ...roomy, freeBytes: async () => bytes });
    expect(await faultOf(add(folder, "a.mp4", text, left(64e6 + 2_499_999)))).toEqual({
      code: "disk-full",
      cause:
        "There is no room for a.mp4: it has 2.5 MB, and the folder's disk has 66 MB left, of which 64 MB are kept for the session.",
      remedy: "Make room on the disk, then drop the clip again.",
    });
    expect((await faultOf(add(folder, "a.mp4", text, left(1e6)))).cause).toBe(
      "There is no room for a.mp4: it has 2.5 MB, and the folder's disk has 1.0 MB left.",
    );
    expect(await readdir(folder)).toEqual([]);
    expect(await add(folder, "a.mp4", text, left(64e6 + 2_500_000))).toMatchObject({ copied: true });
  });

  it("refuses an empty one, one that ends early and one that grows, and leaves nothing", async () => {
    const folder = await temporaryFolder();
    const work = { signal: new AbortController().signal };
    expect((await faultOf(add(folder, "a.mp4", ""))).code).toBe("clip-empty");
    const short = addClip(folder, clipOf("a.mp4", "whole clip"), pieces("whole"), work, roomy);
    expect(await faultOf(short)).toMatchObject({
      code: "clip-cut-off",
      cause: "a.mp4 did not arrive whole, so nothing was added.",
    });
    const long = addClip(folder, clipOf("a.mp4", "clip"), pieces("clip", "s"), work, roomy);
    expect(await faultOf(long)).toMatchObject({
      code: "clip-cut-off",
      cause: "a.mp4 grew while it was copied, so nothing was added.",
    });
    expect(await readdir(folder)).toEqual([]);
  });

  it("stops at once, even when no further piece ever comes, and leaves nothing", async () => {
    const folder = await temporaryFolder();
    const stop = new AbortController();
    async function* stalled(): AsyncGenerator<Uint8Array> {
      yield Buffer.from("half");
      stop.abort(new Error("stopped"));
      await new Promise(() => {}); // a connection that says nothing any more
    }
    const work = { signal: stop.signal };
    const adding = addClip(folder, clipOf("a.mp4", "half a clip"), stalled(), work, roomy);
    await expect(adding).rejects.toThrow("stopped");
    expect(await readdir(folder)).toEqual([]);
  });
});

describe("a field folder", () => {
  it("that is read-only takes no clip, and says what to do", async () => {
    const path = await temporaryFolder();
    const folder = await openFieldFolder(path);
    await withoutRights(path, async () => {
      const fault = await faultOf(folder.mustTakeClip(clipOf("a.mp4", "clip")));
      expect(fault.code).toBe("folder-read-only");
      expect(fault.remedy).toMatch(
        /^Copy the folder to a disk of your own, open the copy and drop the clips on it/,
      );
    });
  });

  it("clears away the half of a clip that a killed process left, and not one that is being written", async () => {
    const path = await temporaryFolder();
    const left = temporaryName("shot-3.mp4", { ...ownMark(), started: "1" });
    const living = temporaryName("shot-4.mp4");
    for (const name of [left, living]) await writeFile(join(path, name), "half");
    const folder = await openFieldFolder(path);
    expect(await folder.listClips()).toEqual([]);
    await folder.access();
    expect(await readdir(path)).toEqual([living]);
  });

  it("keeps its own clips' times out of it: an added one is listed with the time it was filmed", async () => {
    const path = await temporaryFolder();
    await writeFile(join(path, "b.mp4"), "there before");
    await utimes(join(path, "b.mp4"), FILMED_MS / 1000 - 60, FILMED_MS / 1000 - 60);
    const folder = await openFieldFolder(path);
    const work = { signal: new AbortController().signal };
    await folder.addClip(clipOf("a.mp4", "clip"), pieces("clip"), work);
    const listed = (await folder.listClips()).map(({ name, modifiedMs }) => [name, modifiedMs]);
    expect(listed).toEqual([
      ["a.mp4", FILMED_MS],
      ["b.mp4", FILMED_MS - 60_000],
    ]);
    expect(await readFile(join(path, "b.mp4"), "utf8")).toBe("there before");
  });
});
