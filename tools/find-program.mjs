import { accessSync, constants, statSync } from "node:fs";
import { createRequire } from "node:module";
import { homedir } from "node:os";
import { delimiter, dirname, isAbsolute, join, resolve } from "node:path";

const WINDOWS = process.platform === "win32";

/**
 * @typedef {object} FoundProgram
 * @property {string} path absolute path of a file that may be run
 * @property {string} from where it was found, for a person: an environment variable, a package or PATH
 */

/**
 * The ffmpeg to use: LOFTMARK_FFMPEG, then the binary of the package ffmpeg-static if its download
 * worked, then PATH. A LOFTMARK_FFMPEG that names nothing gives null, not the next choice: the
 * person asked for that one.
 * @param {NodeJS.ProcessEnv} [env]
 * @returns {FoundProgram | null}
 */
export function findFfmpeg(env = process.env) {
  if (env.LOFTMARK_FFMPEG) return named("LOFTMARK_FFMPEG", env);
  const packaged = packagedFfmpeg();
  if (packaged !== null && isProgram(packaged)) return { path: packaged, from: "the ffmpeg-static package" };
  return onPath(["ffmpeg"], env);
}

/**
 * ffprobe, which only the tests need: beside the given ffmpeg, then PATH.
 * @param {string | null} ffmpegPath
 * @param {NodeJS.ProcessEnv} [env]
 * @returns {FoundProgram | null}
 */
export function findFfprobe(ffmpegPath, env = process.env) {
  if (ffmpegPath !== null) {
    const beside = join(dirname(ffmpegPath), WINDOWS ? "ffprobe.exe" : "ffprobe");
    if (isProgram(beside)) return { path: beside, from: "the folder of ffmpeg" };
  }
  return onPath(["ffprobe"], env);
}

/**
 * A Chromium to drive in browser tests: LOFTMARK_CHROMIUM, then the usual names on
 * PATH, then the usual places.
 * @param {NodeJS.ProcessEnv} [env]
 * @returns {FoundProgram | null}
 */
export function findChromium(env = process.env) {
  if (env.LOFTMARK_CHROMIUM) return named("LOFTMARK_CHROMIUM", env);
  const names = ["chromium", "chromium-browser", "google-chrome-stable", "google-chrome", "chrome"];
  const fromPath = onPath(WINDOWS ? ["chrome", "chromium"] : names, env);
  if (fromPath !== null) return fromPath;
  const place = usualChromiumPlaces(env).find(isProgram);
  return place === undefined ? null : { path: place, from: "its usual place" };
}

/**
 * The first of these names that is a program in a folder of PATH; on Windows with ".exe".
 * @param {readonly string[]} names
 * @param {NodeJS.ProcessEnv} [env]
 * @returns {FoundProgram | null}
 */
export function onPath(names, env = process.env) {
  const folders = (env.PATH ?? env.Path ?? "").split(delimiter).filter((folder) => folder !== "");
  for (const name of names) {
    for (const folder of folders) {
      const path = resolve(folder, WINDOWS && !name.endsWith(".exe") ? `${name}.exe` : name);
      if (isProgram(path)) return { path, from: "PATH" };
    }
  }
  return null;
}

/**
 * @param {string} variable
 * @param {NodeJS.ProcessEnv} env
 * @returns {FoundProgram | null}
 */
function named(variable, env) {
  const value = env[variable] ?? "";
  const bareName = !isAbsolute(value) && !/[\\/]/.test(value);
  const path = bareName ? (onPath([value], env)?.path ?? null) : resolve(value);
  return path !== null && isProgram(path) ? { path, from: variable } : null;
}

/** @returns {string | null} */
function packagedFfmpeg() {
  try {
    const path = createRequire(import.meta.url)("ffmpeg-static");
    // A packed application keeps programs beside its archive, since nothing inside an archive can be run.
    return typeof path === "string" ? path.replace(/app\.asar(?=[\\/])/, "app.asar.unpacked") : null;
  } catch {
    return null; // An optional dependency: not installed is an ordinary state, and PATH comes next.
  }
}

/**
 * @param {NodeJS.ProcessEnv} env
 * @returns {string[]}
 */
function usualChromiumPlaces(env) {
  if (process.platform === "darwin") {
    const apps = ["/Applications", join(homedir(), "Applications")];
    return apps.flatMap((folder) => [
      join(folder, "Chromium.app/Contents/MacOS/Chromium"),
      join(folder, "Google Chrome.app/Contents/MacOS/Google Chrome"),
      join(folder, "Microsoft Edge.app/Contents/MacOS/Microsoft Edge"),
    ]);
  }
  if (WINDOWS) {
    const roots = [env.PROGRAMFILES, env["PROGRAMFILES(X86)"], env.LOCALAPPDATA].filter((root) => root);
    return roots.flatMap((root) => [
      join(String(root), "Google\\Chrome\\Application\\chrome.exe"),
      join(String(root), "Chromium\\Application\\chrome.exe"),
      join(String(root), "Microsoft\\Edge\\Application\\msedge.exe"),
    ]);
  }
  return [
    "/usr/bin/chromium",
    "/usr/lib/chromium/chromium",
    "/snap/bin/chromium",
    "/opt/google/chrome/chrome",
  ];
}

/**
 * @param {string} path
 * @returns {boolean}
 */
function isProgram(path) {
  try {
    accessSync(path, constants.X_OK);
    return statSync(path).isFile();
  } catch {
    return false;
  }
}
