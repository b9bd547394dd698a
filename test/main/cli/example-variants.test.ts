import { mkdir, mkdtemp, readdir, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it, vi } from "vitest";
import { exampleCamera, TICKS_PER_S } from "../../../src/main/example/example-camera.ts";
import { EXAMPLE_CLIP, exampleSession } from "../../../src/main/example/example-session.ts";
import { exampleTruth } from "../../../src/main/example/example-truth.ts";
import { EXAMPLE_VARIANTS, type ExampleVariant } from "../../../src/main/example/example-variant.ts";
import { findFfmpeg } from "../../../tools/find-program.mjs";
import { cli } from "../../support/run-cli.ts";
import { writeThinExample } from "../../support/thin-example.ts";

let home: string;

beforeAll(async () => {
  home = await mkdtemp(join(tmpdir(), "loftmark variants "));
  vi.stubEnv("LOFTMARK_CACHE", join(home, "cache"));
  vi.stubEnv("LOFTMARK_DATA", join(home, "data"));
});

afterAll(() => rm(home, { recursive: true, force: true }));

/**
 * Measures a folder from the command line; the release speed must be within 1 % of
 * the truth and within 2.5 u.
 */
async function expectTrueSpeed(folder: string, outName: string): Promise<void> {
  const { status, out, err } = await cli(["measure", folder, "--out", join(home, outName), "--json"]);
  expect([status, err]).toEqual([0, ""]);
  const { value, u } = JSON.parse(out).shots[0].quantities.releaseSpeed;
  const truth = exampleTruth().shots[0]!.quantities.releaseSpeed!.value;
  expect(Math.abs(value / truth - 1)).toBeLessThan(0.01);
  expect(Math.abs(value - truth)).toBeLessThan(2.5 * u);
}

/** Holds that a clip carries every timestamp of its variant's camera, to the tick. */
async function expectTimes(folder: string, variant: ExampleVariant): Promise<void> {
  const { out } = await cli(["inspect", join(folder, EXAMPLE_CLIP), "--json"]);
  const { pts, timeBase, constantRate } = JSON.parse(out);
  const { frames, ticks } = exampleCamera(variant);
  expect([pts.length, constantRate]).toEqual([frames, ticks === null]);
  if (ticks === null) return;
  expect(pts.map((one: number) => ((one - pts[0]) * timeBase[0] * TICKS_PER_S) / timeBase[1])).toEqual(ticks);
}

describe("the example launch filmed at irregular times, as the command line writes it", () => {
  let folder: string;

  beforeAll(async () => {
    folder = join(home, "irregular");
    const end = await cli(["example", "--out", "irregular", "--variant", "irregular", "--json"], {
      cwd: home,
    });
    expect([end.status, end.err]).toEqual([0, ""]);
    expect(JSON.parse(end.out)).toEqual({ directory: folder, files: (await readdir(folder)).sort() });
  });

  it("holds the variant's session and the same truth", async () => {
    const read = async (name: string) => JSON.parse(await readFile(join(folder, name), "utf8"));
    expect(await read("loftmark.json")).toEqual(exampleSession(1, "irregular"));
    expect(await read("truth.json")).toEqual(exampleTruth());
  });

  it("carries every timestamp of the camera in the file, to the tick", async () => {
    await expectTimes(folder, "irregular");
  });

  it("is measured to a release speed within 1 % and within 2.5 u", async () => {
    await expectTrueSpeed(folder, "results-irregular");
  });
});

// What the frames of these show is held by `draw-variants.test.ts`; measuring takes no number from a picture.
describe("the example launch filmed with one fault or all together, from a written clip to the command line's result", () => {
  const apart: readonly string[] = ["plain", "irregular", "hand", "pan"];
  const drawn = new Map<string, string>();
  for (const variant of EXAMPLE_VARIANTS.filter((one) => !apart.includes(one))) {
    it(`gives the release speed within 1 % and within 2.5 u: ${variant}`, async () => {
      const folder = join(home, variant);
      await mkdir(folder);
      await writeThinExample(folder, variant, findFfmpeg()!.path, drawn);
      await expectTimes(folder, variant);
      await expectTrueSpeed(folder, `results-${variant}`);
    });
  }
});

describe("the example launch filmed by a camera that moves, with nothing set up to take that out", () => {
  for (const variant of ["hand", "pan"]) {
    it(`gives no number before its movement is out, and then the release speed within 1 % and 2.5 u: ${variant}`, async () => {
      const folder = join(home, variant);
      expect((await cli(["example", "--out", folder, "--variant", variant])).status).toBe(0);
      const before = await cli(["measure", folder, "--out", join(home, `before-${variant}`)]);
      expect(before.status).toBe(1);
      expect(before.err.replace(/\s+/g, " ")).toMatch(
        /The camera moved while it filmed, by [\d.]+ px or more/,
      );
      const steadied = await cli(["steady", folder, "--save", "--json"]);
      expect(JSON.parse(steadied.out)).toMatchObject({ saved: true, shots: [{ state: "moved" }] });
      await expectTrueSpeed(folder, `results-${variant}`);
    });
  }
});

it("names every variant in its help", async () => {
  const { status, out } = await cli(["example", "--help"]);
  expect(status).toBe(0);
  for (const variant of EXAMPLE_VARIANTS) expect(out).toMatch(new RegExp(`^ +${variant} {2,}\\S`, "m"));
});

it("refuses a variant that there is not, naming those there are, and writes nothing", async () => {
  const { status, err } = await cli(["example", "--out", join(home, "none"), "--variant", "fisheye"]);
  expect(status).toBe(2);
  expect(err).toContain(
    'plain, lens, turned, shutter, shake, hand, pan, repeats, irregular, all, not "fisheye"',
  );
  await expect(readFile(join(home, "none", "loftmark.json"))).rejects.toThrow(/ENOENT/);
});
