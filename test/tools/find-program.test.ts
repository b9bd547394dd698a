import { chmod, mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { findChromium, findFfmpeg, findFfprobe, onPath } from "../../tools/find-program.mjs";

const name = (program: string) => (process.platform === "win32" ? `${program}.exe` : program);
let folder: string;

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "loftmark-find-"));
  for (const program of ["ffmpeg", "ffprobe", "chromium", "chrome"]) {
    await writeFile(join(folder, name(program)), "");
    await chmod(join(folder, name(program)), 0o755);
  }
  await writeFile(join(folder, "not-a-program"), "");
});
afterAll(() => rm(folder, { recursive: true, force: true }));

describe("finding programs", () => {
  it("takes the one the person's variable names, by path or by a bare name on PATH", () => {
    const path = join(folder, name("ffmpeg"));
    expect(findFfmpeg({ LOFTMARK_FFMPEG: path, PATH: "" })).toEqual({ path, from: "LOFTMARK_FFMPEG" });
    expect(findFfmpeg({ LOFTMARK_FFMPEG: "ffmpeg", PATH: folder })?.path).toBe(path);
    expect(findChromium({ LOFTMARK_CHROMIUM: path, PATH: "" })).toEqual({ path, from: "LOFTMARK_CHROMIUM" });
  });
  it("takes nothing else when that variable names nothing that can be run", () => {
    expect(findFfmpeg({ LOFTMARK_FFMPEG: join(folder, "gone"), PATH: folder })).toBeNull();
    expect(findFfmpeg({ LOFTMARK_FFMPEG: folder, PATH: folder })).toBeNull();
    expect(findChromium({ LOFTMARK_CHROMIUM: join(folder, "gone"), PATH: folder })).toBeNull();
  });
  it("finds programs on PATH and says so, and null when there is none", () => {
    expect(onPath(["nope", "ffmpeg"], { PATH: folder })).toEqual({
      path: join(folder, name("ffmpeg")),
      from: "PATH",
    });
    expect(findChromium({ PATH: folder })?.from).toBe("PATH");
    expect(onPath(["ffmpeg"], { PATH: join(folder, "gone") })).toBeNull();
    expect(onPath(["ffmpeg"], {})).toBeNull();
  });
  it("finds ffprobe beside ffmpeg before PATH", () => {
    const found = findFfprobe(join(folder, name("ffmpeg")), { PATH: "" });
    expect(found?.path).toBe(join(folder, name("ffprobe")));
    expect(findFfprobe(null, { PATH: "" })).toBeNull();
  });
});
