import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { userCacheDir, userDataDir } from "../../../src/main/store/user-dirs.ts";

const home = "/home/someone";

describe("userCacheDir and userDataDir", () => {
  it("follow the custom of each platform", () => {
    const on = (platform: string, env = {}) => [
      userCacheDir({ env, platform, home }),
      userDataDir({ env, platform, home }),
    ];
    expect(on("linux")).toEqual([join(home, ".cache/loftmark"), join(home, ".local/share/loftmark")]);
    expect(on("linux", { XDG_CACHE_HOME: "/c", XDG_DATA_HOME: "/d" })).toEqual([
      "/c/loftmark",
      "/d/loftmark",
    ]);
    expect(on("darwin")).toEqual([
      join(home, "Library/Caches/loftmark"),
      join(home, "Library/Application Support/loftmark"),
    ]);
    expect(on("win32", { LOCALAPPDATA: "/local" })).toEqual([
      "/local/loftmark/cache",
      "/local/loftmark/data",
    ]);
    expect(on("win32")[0]).toBe(join(home, "AppData/Local/loftmark/cache"));
  });

  it("ignore a relative XDG path, and let Loftmark's own variables win", () => {
    const env = { XDG_CACHE_HOME: "relative", LOFTMARK_DATA: "/own" };
    expect(userCacheDir({ env, platform: "linux", home })).toBe(join(home, ".cache/loftmark"));
    expect(userDataDir({ env, platform: "darwin", home })).toBe("/own");
    expect(userCacheDir({ env: { LOFTMARK_CACHE: "/mine" }, platform: "win32", home })).toBe("/mine");
  });
});
