import { cp, mkdtemp, readdir, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it, vi } from "vitest";
import { ResultsSchema } from "../../../src/shared/results/results-schema.ts";
import { findFfmpeg } from "../../../tools/find-program.mjs";
import { cli } from "../../support/run-cli.ts";
import { sharedExample } from "../../support/shared-example.ts";
import { snapshotOf } from "../../support/temporary-folder.ts";

let home: string;
let folder: string;

beforeAll(async () => {
  home = await mkdtemp(join(tmpdir(), "loftmark example "));
  folder = join(home, "a field day");
  vi.stubEnv("LOFTMARK_CACHE", join(home, "cache"));
  vi.stubEnv("LOFTMARK_DATA", join(home, "data"));
  await cp(await sharedExample(findFfmpeg()!.path), folder, { recursive: true });
});

afterAll(() => rm(home, { recursive: true, force: true }));

const clipName = async () => (await readdir(folder)).find((name) => name.endsWith(".mp4"))!;

describe("the example launch by command line", () => {
  it("is not written over what is there", async () => {
    const before = await snapshotOf(folder);
    const { status, err } = await cli(["example", "--out", folder]);
    expect(status).toBe(1);
    expect(err).toMatch(/already holds[\s\S]*empty folder/);
    expect(await snapshotOf(folder)).toEqual(before);
  });

  it("is inspected: picture, rates and every timestamp", async () => {
    const name = await clipName();
    const json = await cli(["inspect", join(folder, name), "--json"]);
    const facts = JSON.parse(json.out);
    expect(facts).toMatchObject({
      name,
      codec: "h264",
      playbackRateHz: expect.closeTo(30, 9),
      constantRate: true,
    });
    const steps = facts.pts.slice(1).map((pts: number, i: number) => pts - facts.pts[i]);
    expect(new Set(steps).size).toBe(1);
    const words = await cli(["inspect", name], { cwd: folder });
    expect([words.status, words.err]).toEqual([0, ""]);
    expect(words.out).toMatch(new RegExp(`^  Frames +${facts.pts.length}, of which`, "m"));
    expect(words.out).toMatch(/^ {2}Playback rate +30 Hz$/m);
    expect(words.out).toMatch(/^ {2}Damage +h264 keeps no checksums: a few wrong bits /m);
  });

  it("is measured with all inputs drawn, which agrees with the stated uncertainty, in words and in the results", async () => {
    const out = join(home, "drawn");
    const { status, out: words } = await cli(["measure", folder, "--out", out, "--draw", "300"]);
    expect(status).toBe(0);
    expect(words).toMatch(/one input at a time +all drawn, 300 times/);
    expect(words.match(/ agree$/gm)).toHaveLength(4);
    const [shot] = JSON.parse(await readFile(join(out, "results.json"), "utf8")).shots;
    expect(shot.drawn.draws).toBe(300);
    const { apart, together } = shot.drawn.headlines.releaseSpeed;
    expect(apart.u).toBeCloseTo(shot.quantities.releaseSpeed.u, 6);
    expect(together.u / apart.u).toBeCloseTo(1, 1);
  });

  it("is measured into a chosen folder, with the session and the field folder left as they were", async () => {
    const before = await snapshotOf(folder);
    const out = join(home, "results of the day");
    const { status, out: text, err } = await cli(["measure", folder, "--out", out, "--json"]);
    expect([status, err]).toEqual([0, ""]);
    const printed = JSON.parse(text);
    expect(printed.directory).toBe(out);
    const { madeAt: _, ...written } = JSON.parse(await readFile(join(out, "results.json"), "utf8"));
    expect(printed).toMatchObject(written);
    expect(ResultsSchema.safeParse(printed).success).toBe(true);
    const own = ".loftmark-write-up.json"; // the list of the generation, no file of the write-up
    expect(Object.keys(await snapshotOf(out)).sort()).toEqual([own, ...printed.files].sort());
    expect(printed.files).toEqual(
      expect.arrayContaining(["results.json", "marks.csv", "motion.csv", "report.html"]),
    );
    expect(await snapshotOf(folder)).toEqual(before);
  });

  it("is measured into write-up by default, and read as a table of value ± u beside the prediction", async () => {
    const { "loftmark.json": session } = await snapshotOf(folder);
    const { status, out } = await cli(["measure", "."], { cwd: folder });
    expect(status).toBe(0);
    expect(out).toMatch(/^.+\(.+\.mp4\)\n +measured +predicted +difference\n/);
    expect(out).toMatch(/\n {2}Release speed +[\d.]+ ± [\d.]+ m\/s +[\d.]+ ± [\d.]+ m\/s +−?[\d.]+ u\n/);
    expect(out).toContain(`The write-up is in ${join(folder, "write-up")}\n`);
    expect(await readdir(join(folder, "write-up"))).toContain("report.html");
    expect((await snapshotOf(folder))["loftmark.json"]).toBe(session);
  });

  it("shows progress on standard error in a terminal, rewriting one line, and leaves it clean", async () => {
    await rm(join(home, "cache"), { recursive: true, force: true });
    const { out, err } = await cli(["measure", folder], { showsProgress: true });
    expect(err.startsWith("\r\u001b[K")).toBe(true);
    expect(err).toMatch(/K +\d+ % {2}Inspecting /);
    expect(err.endsWith("\r\u001b[K")).toBe(true);
    expect(out).not.toContain("\u001b");
  });

  it("ends with 1 when the person stops it, leaving nothing behind", async () => {
    const stop = new AbortController();
    const { status, err } = await cli(["example", "--out", join(home, "stopped")], {
      signal: stop.signal,
      showsProgress: true,
      onErr: (text) => {
        if (text.includes("Filming frame")) stop.abort();
      },
    });
    expect(status).toBe(1);
    expect(err).toContain("stopped");
    expect(await readdir(join(home, "stopped")).catch(() => [])).toEqual([]);
  });
});
