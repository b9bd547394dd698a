import { type ChildProcess, spawn } from "node:child_process";
import { mkdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { afterEach, describe, expect, it } from "vitest";
import { sessionText } from "../../src/main/store/session-text.ts";
import { sampleSession } from "../shared/session/sample-session.ts";
import { temporaryFolder } from "../support/temporary-folder.ts";

const ROOT = join(import.meta.dirname, "../..");
const running: ChildProcess[] = [];

afterEach(() => {
  for (const child of running.splice(0)) child.kill("SIGKILL");
});

/**
 * Starts one of the project's programs as npm does: in the project's root, with the
 * person's folder in INIT_CWD.
 */
function start(program: string, args: readonly string[], env: NodeJS.ProcessEnv = {}) {
  const child = spawn(process.execPath, [join(ROOT, program), ...args], {
    cwd: ROOT,
    env: { ...process.env, DISPLAY: "", WAYLAND_DISPLAY: "", ...env },
  });
  running.push(child);
  const heard = { out: "", err: "" };
  child.stdout.on("data", (chunk) => {
    heard.out += chunk;
  });
  child.stderr.on("data", (chunk) => {
    heard.err += chunk;
  });
  const status = new Promise<number | null>((resolve) => child.on("close", resolve));
  return { child, heard, status };
}

describe("the command line as built", () => {
  it("runs in the person's folder, with nothing but the result on standard output", async () => {
    const home = await temporaryFolder();
    await mkdir(join(home, "day"));
    await writeFile(join(home, "day", "loftmark.json"), sessionText(sampleSession()));
    const { heard, status } = start("tools/loftmark.mjs", ["predict", "day", "--json"], { INIT_CWD: home });
    expect(await status).toBe(0);
    expect(JSON.parse(heard.out).shots[0].predicted.releaseSpeed.unit).toBe("m/s");
    expect(heard.err).toBe("");
  });

  it("hands its exit status on: 1 could not, 2 usage", async () => {
    const home = await temporaryFolder();
    const could = start("tools/loftmark.mjs", ["measure", "nowhere"], { INIT_CWD: home });
    expect(await could.status).toBe(1);
    expect(could.heard.err).toContain(`There is no folder "${join(home, "nowhere")}".`);
    const usage = start("out/main/cli.js", ["dance"]);
    expect(await usage.status).toBe(2);
  });

  it("tells of a missing ffmpeg with what to do", async () => {
    const home = await temporaryFolder();
    await writeFile(join(home, "loftmark.json"), sessionText(sampleSession()));
    const { heard, status } = start("out/main/cli.js", ["measure", home, "--json"], {
      LOFTMARK_FFMPEG: join(home, "no-ffmpeg"),
    });
    expect(await status).toBe(1);
    expect(JSON.parse(heard.out).error.code).toBe("ffmpeg-missing");
    expect(heard.err).toContain("Install ffmpeg, or set LOFTMARK_FFMPEG");
  });
});

describe("npm start without a desktop", () => {
  it("says so in one line, prints the address, shows the page there, and ends when told to", async () => {
    const folder = await temporaryFolder();
    const { child, heard, status } = start("tools/start.mjs", ["."], {
      INIT_CWD: folder,
      LOFTMARK_HOST: "loopback",
      LOFTMARK_CACHE: join(folder, "cache"),
    });
    const address = /^Loftmark is at (http:\/\/127\.0\.0\.1:\d+\/\?token=\S+)$/m;
    await expect.poll(() => heard.out).toMatch(address);
    expect(heard.out).toContain("LOFTMARK_HOST=loopback is set. Loftmark is shown in a browser instead.\n");
    const url = address.exec(heard.out)![1]!;

    const entered = await fetch(url, { redirect: "manual" });
    expect(entered.status).toBe(303);
    const headers = { cookie: entered.headers.get("set-cookie")!.split(";")[0]! };
    const page = await fetch(new URL("/", url), { headers });
    expect(await page.text()).toContain("<title>Loftmark</title>");
    const info = await fetch(new URL("/host/info", url), { headers });
    expect(await info.json()).toMatchObject({ host: "loopback", folder, canPickFolder: false });

    child.kill("SIGTERM");
    expect(await status).toBe(0);
    await expect(fetch(url)).rejects.toThrow("fetch failed");
  });

  it("ends with words when the folder is not there", async () => {
    const folder = await temporaryFolder();
    const { heard, status } = start("tools/start.mjs", ["nowhere"], {
      INIT_CWD: folder,
      LOFTMARK_HOST: "loopback",
    });
    expect(await status).toBe(1);
    expect(heard.err).toContain(`There is no folder "${join(folder, "nowhere")}".`);
  });
});
