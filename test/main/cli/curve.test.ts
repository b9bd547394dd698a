import { mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { cli } from "../../support/run-cli.ts";

let folder = "";
const chance = createChance(8);
/** A motor on a load cell: nothing, a rise at once, a slow fall, burnout. */
const thrust = (t: number) => (t < 0.2 ? 0 : t < 0.8 ? 9 - 4 * (t - 0.2) : 0);
const rows = Array.from({ length: 200 }, (_, i) => {
  const t = i / 200;
  return `${(1000 * t).toFixed(1)},${(thrust(t) + 0.1 * chance.normal()).toFixed(3)},20.1`;
});

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "curve-"));
  await writeFile(
    join(folder, "motor.csv"),
    ["time (ms),force (N),temperature (°C)", ...rows, ""].join("\n"),
  );
});
afterAll(() => rm(folder, { recursive: true }));

const curve = (...args: string[]) => cli(["curve", ...args], { cwd: folder });

describe("curve", () => {
  it("writes the table to standard output, its words beside it", async () => {
    const { status, out, err } = await curve("motor.csv");
    expect(status).toBe(0);
    const lines = out.split("\r\n");
    expect(lines[0]).toBe(
      "time (s),force (N),u of force (N),rate (N/s),u of rate (N/s),acceleration (N/s²),u of acceleration (N/s²)",
    );
    expect(lines).toHaveLength(202);
    const cells = lines[101]!.split(",").map(Number);
    const [t, force, u, rate, uRate] = cells as [number, number, number, number, number];
    expect(t).toBeCloseTo(0.5, 9);
    expect(Math.abs(force - thrust(t))).toBeLessThan(2.5 * u);
    expect(Math.abs(rate + 4)).toBeLessThan(2.5 * uRate);
    expect(err).toMatch(/^“force” in N against “time”: 200 different times\.\n/);
    expect(err).toMatch(/\n2 change points\n/);
    expect(err).toMatch(/0\.\d+ ± 0\.\d+ s +the value jumps +by 9\.\d+ ± 0\.\d+ N +> 99 %\n/);
    expect(err).toMatch(/from the scatter: 0\.1\d* N; they are taken to be independent\./);
  });

  it("writes table and figure where asked, and nothing else", async () => {
    const { status, out, err } = await curve("motor.csv", "--out", "found.csv", "--figure", "found.svg");
    expect([status, err]).toEqual([0, ""]);
    expect(out).toMatch(/2 change points/);
    expect(await readFile(join(folder, "found.csv"), "utf8")).toMatch(/^time \(s\),force \(N\)/);
    expect(await readFile(join(folder, "found.svg"), "utf8")).toMatch(/^<svg [^>]*role="img"/);
    expect((await readdir(folder)).sort()).toEqual(["found.csv", "found.svg", "motor.csv"]);
    await rm(join(folder, "found.csv"));
    await rm(join(folder, "found.svg"));
  });

  it("gives all of it as JSON, in the person's unit and s", async () => {
    const { status, out, err } = await curve("motor.csv", "--json");
    expect([status, err]).toEqual([0, ""]);
    const found = JSON.parse(out);
    expect(found.units).toEqual({ time: "s", value: "N", rate: "N/s", acceleration: "N/s²" });
    expect([found.file, found.samples, found.points.length]).toEqual(["motor.csv", 200, 200]);
    expect(found.changes.map((one: { kind: string }) => one.kind)).toEqual(["value", "value"]);
    expect(found.points[0].value).toEqual({ value: expect.any(Number), u: expect.any(Number) });
  });

  it("takes another column, a stated uncertainty, the kind of errors, and looks for no changes when told", async () => {
    const { out, err } = await curve("motor.csv", "--value", "temperature", "--u", "0.2", "--out", "t.csv");
    expect([err, out]).toEqual([
      "",
      expect.stringMatching(/^“temperature” in °C .*\nErrors of the values as stated/),
    ]);
    await rm(join(folder, "t.csv"));
    const smooth = JSON.parse((await curve("motor.csv", "--smooth", "--errors", "white", "--json")).out);
    expect([smooth.changes, smooth.errors.lag]).toEqual([[], 0]);
  });

  it("leaves the acceleration empty beside a kink for as long as that may have taken, and says at how many times", async () => {
    const kinked = Array.from({ length: 120 }, (_, i) => {
      const value = Math.abs(i / 40 - 1.6) + 0.02 * chance.normal();
      return `${i / 40};${value.toFixed(4)}`;
    });
    await writeFile(join(folder, "kink.csv"), ["time (s);speed (m/s)", ...kinked, ""].join("\n"));
    const { out, err } = await curve("kink.csv");
    const open = out.split("\r\n").filter((line) => /,,$/.test(line));
    expect(open.length).toBeGreaterThan(1);
    expect(err).toMatch(/the rate jumps +by 2\.\d+ ± 0\.\d+ m\/s² /);
    expect(err.replace(/\n/g, " ")).toContain(`the acceleration at ${open.length} of the times.`);
    await rm(join(folder, "kink.csv"));
  });

  it("exits 1 with cause and remedy: no such file, a cell that is no number, too few times, no scatter", async () => {
    await writeFile(join(folder, "bad.csv"), "time (s),force (N)\n0,1\n0.1,1,5\n0.2,x\n");
    await writeFile(join(folder, "few.csv"), "time (s),force (N)\n0,1\n0.1,1\n0.2,2\n");
    await writeFile(join(folder, "flat.csv"), Array.from({ length: 30 }, (_, i) => `${i},5\n`).join(""));
    const missing = await curve("none.csv");
    expect([missing.status, missing.err]).toEqual([1, expect.stringMatching(/“?"?none\.csv/)]);
    const bad = await curve("bad.csv", "--json");
    expect(bad.status).toBe(1);
    expect(JSON.parse(bad.out).error).toMatchObject({
      code: "curve-number",
      cause: "Line 4 has “x” in column 2 (“force”), which is not a number.",
    });
    const few = await curve("few.csv");
    expect(few.err).toMatch(/values at 3 different times; 16 are needed\.\n.*--u: 6 will then do\.\n/);
    const flat = await curve("flat.csv");
    expect(flat.err).toMatch(/^All values are equal.*\n.*--u/);
  });

  it("stops when it is asked to, in the middle of its work", async () => {
    const long = Array.from({ length: 150_000 }, (_, i) => `${i},${Math.round(1000 * chance.normal())}`);
    await writeFile(join(folder, "long.csv"), ["t,v", ...long, ""].join("\n"));
    const stop = new AbortController();
    const ended = cli(["curve", "long.csv"], {
      cwd: folder,
      signal: stop.signal,
      showsProgress: true,
      onErr: (text) => text.includes("150000 samples") && setImmediate(() => stop.abort()),
    });
    const { status, out, err } = await ended;
    expect([status, out]).toEqual([1, ""]);
    expect(err).toMatch(/stopped/i);
    await rm(join(folder, "long.csv"));
  });

  it("exits 2 where the options do not fit", async () => {
    for (const [args, words] of [
      [["--u", "0"], /--u takes a number above 0, not "0"/],
      [["--u", "1", "--uncertainty", "3"], /say the same thing/],
      [["--errors", "red"], /--errors takes auto, white, lasting, not "red"/],
    ] as const) {
      const { status, err } = await curve("motor.csv", ...args);
      expect(status).toBe(2);
      expect(err).toMatch(words);
    }
  });
});
