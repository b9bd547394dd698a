import { spawnSync } from "node:child_process";
import { existsSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { findChromium, findFfmpeg, findFfprobe, onPath } from "./find-program.mjs";

/** @typedef {import("./find-program.mjs").FoundProgram} FoundProgram */
/** @typedef {"ffmpeg" | "ffprobe" | "chromium"} ProgramName */

const FONT = "/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf";

/**
 * What each platform's person types to get a program; the Debian packages are what this file installs itself.
 * @type {Record<ProgramName, { variable: string, debian: string, darwin: string, win32:
 *   string, linux: string }>}
 */
const SOURCES = {
  ffmpeg: {
    variable: "LOFTMARK_FFMPEG",
    debian: "ffmpeg",
    darwin: "brew install ffmpeg",
    win32: "winget install Gyan.FFmpeg",
    linux: "sudo apt-get install ffmpeg   (or your distribution's ffmpeg package)",
  },
  ffprobe: {
    variable: "PATH",
    debian: "ffmpeg",
    darwin: "brew install ffmpeg",
    win32: "winget install Gyan.FFmpeg",
    linux: "sudo apt-get install ffmpeg   (or your distribution's ffmpeg package)",
  },
  chromium: {
    variable: "LOFTMARK_CHROMIUM",
    debian: "chromium",
    darwin: "brew install --cask chromium",
    win32: "winget install Google.Chrome",
    linux: "sudo apt-get install chromium fonts-dejavu-core   (or your distribution's Chromium package)",
  },
};

/**
 * Makes sure the named programs are there and says what it found, one line each. Missing on a Debian
 * family system as root: installs the packages with apt-get, saying so. Missing elsewhere: one line
 * with the command to run.
 * @param {readonly ProgramName[]} wanted
 * @param {(line: string) => void} [say]
 * @returns {{ ok: boolean, found: Record<ProgramName, FoundProgram | null> }} ok is false
 *   when any is still missing
 */
export function ensurePrograms(wanted, say = console.log) {
  let found = findAll();
  const packages = new Set(
    wanted.filter((name) => found[name] === null && !isMisnamed(name)).map(debianPackage),
  );
  // Chromium draws no text without a font, and Debian's package only recommends one.
  if (wanted.includes("chromium") && canAptInstall() && !existsSync(FONT)) packages.add("fonts-dejavu-core");
  if (packages.size > 0 && canAptInstall()) {
    aptInstall([...packages], say);
    found = findAll();
  }
  for (const name of wanted) say(sentence(name, found[name]));
  return { ok: wanted.every((name) => found[name] !== null), found };
}

/** @returns {Record<ProgramName, FoundProgram | null>} */
function findAll() {
  const ffmpeg = findFfmpeg();
  return { ffmpeg, ffprobe: findFfprobe(ffmpeg?.path ?? null), chromium: findChromium() };
}

/**
 * True when the person's own variable points at nothing: installing a package would not
 * help, correcting it would.
 * @param {ProgramName} name
 */
function isMisnamed(name) {
  return name !== "ffprobe" && Boolean(process.env[SOURCES[name].variable]);
}

/** @param {ProgramName} name */
function debianPackage(name) {
  return SOURCES[name].debian;
}

/** @returns {boolean} */
function canAptInstall() {
  if (process.platform !== "linux" || process.getuid?.() !== 0 || onPath(["apt-get"]) === null) return false;
  const release = existsSync("/etc/os-release") ? readFileSync("/etc/os-release", "utf8") : "";
  return /^ID(_LIKE)?=.*debian/m.test(release);
}

/**
 * @param {readonly string[]} packages
 * @param {(line: string) => void} say
 */
function aptInstall(packages, say) {
  say(`installing with apt-get: ${packages.join(" ")}`);
  const env = { ...process.env, DEBIAN_FRONTEND: "noninteractive" };
  const steps = [
    ["update", "-q"],
    ["install", "-y", "-q", "--no-install-recommends", ...packages],
  ];
  for (const step of steps) {
    const run = spawnSync("apt-get", step, { env, encoding: "utf8" });
    if (run.status !== 0) {
      const why = (run.stderr || run.error?.message || "").trim().split("\n").at(-1);
      say(`apt-get ${step[0]} failed (exit ${run.status}): ${why}`);
    }
  }
}

/**
 * @param {ProgramName} name
 * @param {FoundProgram | null} program
 */
function sentence(name, program) {
  if (program !== null) return `${name}: ${program.path} (from ${program.from})`;
  const { variable, darwin, win32, linux } = SOURCES[name];
  if (isMisnamed(name)) {
    return `${name}: MISSING. ${variable} is "${process.env[variable]}", which cannot be run; correct or unset it.`;
  }
  const command = process.platform === "darwin" ? darwin : process.platform === "win32" ? win32 : linux;
  return `${name}: MISSING. Run: ${command}`;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  process.exitCode = ensurePrograms(["ffmpeg", "ffprobe", "chromium"]).ok ? 0 : 1;
}
