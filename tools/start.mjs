import { spawn, spawnSync } from "node:child_process";
import { existsSync, readFileSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";
import { buildIfStale } from "./build-if-stale.mjs";
import { ensurePrograms } from "./setup.mjs";

/*
 * npm start [folder]: the desktop window where Electron is there or can be fetched, else the browser of this
 * machine. LOFTMARK_HOST=loopback takes the browser at once.
 */
const ROOT = dirname(dirname(fileURLToPath(import.meta.url)));
const FETCH_WAIT_MS = 60_000; // Electron is about 110 MB; a slower line is better told to fetch it beforehand

const given = process.argv.slice(2).find((argument) => !argument.startsWith("-"));
const folder = given === undefined ? [] : [resolve(process.env.INIT_CWD ?? process.cwd(), given)];

if (!ensurePrograms(["ffmpeg"]).ok || !buildIfStale()) process.exit(1);
const why = noDesktop();
if (why === null) {
  follow(spawn(electronPath() ?? "", [ROOT, ...folder], { stdio: "inherit" }));
} else {
  console.log(`${why} Loftmark is shown in a browser instead.`);
  serve();
}

/**
 * Why the desktop window cannot be had, as a sentence; null when it can.
 * @returns {string | null}
 */
function noDesktop() {
  if (process.env.LOFTMARK_HOST === "loopback") return "LOFTMARK_HOST=loopback is set.";
  if (!hasDisplay()) return "There is no display for a desktop window.";
  if (process.platform === "linux" && process.getuid?.() === 0) {
    return "Electron's sandbox does not run as root.";
  }
  if (electronPath() !== null) return null;
  console.log("Fetching Electron for the desktop window (once)…");
  const { error } = spawnSync(process.execPath, [join(ROOT, "node_modules", "electron", "install.js")], {
    cwd: ROOT,
    stdio: "ignore",
    timeout: FETCH_WAIT_MS,
    killSignal: "SIGKILL",
  });
  if (electronPath() !== null) return null;
  const late = /** @type {NodeJS.ErrnoException | undefined} */ (error)?.code === "ETIMEDOUT";
  return late
    ? "Electron was not there after a minute (npx install-electron fetches it without a limit)."
    : "Electron could not be fetched.";
}

/**
 * The Electron program, when its download has been unpacked.
 * @returns {string | null}
 */
function electronPath() {
  const home = join(ROOT, "node_modules", "electron");
  const record = join(home, "path.txt");
  if (!existsSync(record)) return null;
  const program = join(home, "dist", readFileSync(record, "utf8").trim());
  return existsSync(program) ? program : null;
}

function serve() {
  const program = join(ROOT, "out", "main", "cli.js");
  const child = spawn(process.execPath, [program, "serve", ...folder], {
    stdio: ["inherit", "pipe", "inherit"],
  });
  createInterface({ input: child.stdout }).on("line", (line) => {
    console.log(line);
    const url = /http:\/\/127\.0\.0\.1:\S+/.exec(line)?.[0];
    if (url !== undefined && hasDisplay()) openBrowser(url);
  });
  follow(child);
}

function hasDisplay() {
  return process.platform !== "linux" || Boolean(process.env.DISPLAY || process.env.WAYLAND_DISPLAY);
}

/** @param {string} url */
function openBrowser(url) {
  const [program, args] =
    process.platform === "darwin"
      ? ["open", [url]]
      : process.platform === "win32"
        ? ["rundll32", ["url.dll,FileProtocolHandler", url]]
        : ["xdg-open", [url]];
  const opener = spawn(program, args, { stdio: "ignore", detached: true });
  opener.on("error", () => {}); // The address is on screen, to be opened by hand.
  opener.unref();
}

/**
 * Ends as the child ends, and hands on what asks it to stop.
 * @param {import("node:child_process").ChildProcess} child
 */
function follow(child) {
  process.on("SIGINT", () => {}); // Ctrl-C reaches the child by itself.
  process.on("SIGTERM", () => child.kill("SIGTERM"));
  child.on("error", (error) => {
    console.error(error.message);
    process.exit(1);
  });
  child.on("exit", (code) => process.exit(code ?? 1));
}
