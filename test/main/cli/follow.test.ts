import { cp, mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it, vi } from "vitest";
import { examplePixel } from "../../../src/main/example/example-motion.ts";
import type { TargetId } from "../../../src/main/example/example-scene.ts";
import { exampleTruth } from "../../../src/main/example/example-truth.ts";
import { type Mark, type Session, SessionSchema } from "../../../src/shared/session/schema.ts";
import { findFfmpeg } from "../../../tools/find-program.mjs";
import { cli } from "../../support/run-cli.ts";
import { sharedExample } from "../../support/shared-example.ts";

/*
 * The example's compressed clip with one hand mark of each target, the first: everything else
 * is left to the follower.
 */
let home: string;
let folder: string;
let given: Session;

beforeAll(async () => {
  home = await mkdtemp(join(tmpdir(), "loftmark follow "));
  vi.stubEnv("LOFTMARK_CACHE", join(home, "cache"));
  vi.stubEnv("LOFTMARK_DATA", join(home, "data"));
  folder = join(home, "field");
  await cp(await sharedExample(findFfmpeg()!.path), folder, { recursive: true });
  const session = await read();
  const [shot] = session.shots;
  const marks = ["nose", "tail"].map((id) => shot!.marks.find(({ pointId }) => pointId === id)!);
  given = { ...session, shots: [{ ...shot!, marks }] };
  await writeFile(join(folder, "loftmark.json"), JSON.stringify(given));
});
afterAll(() => rm(home, { recursive: true, force: true }));

async function read(): Promise<Session> {
  return SessionSchema.parse(JSON.parse(await readFile(join(folder, "loftmark.json"), "utf8")));
}

/** The marks' own scatter about the truth, what they are off together taken out: px, and in their own u. */
function scatter(id: TargetId, marks: readonly Mark[]) {
  const off = marks.map(({ frame, x, y, u }) => {
    const truth = examplePixel(id, frame);
    return { dx: x - truth[0], dy: y - truth[1], u };
  });
  const mean = (of: (one: (typeof off)[number]) => number) =>
    off.reduce((sum, one) => sum + of(one), 0) / off.length;
  const [mx, my] = [mean(({ dx }) => dx), mean(({ dy }) => dy)];
  const square = ({ dx, dy }: (typeof off)[number]) => ((dx - mx) ** 2 + (dy - my) ** 2) / 2;
  return {
    common: [mx, my],
    px: Math.sqrt(mean(square)),
    chi: Math.sqrt(mean((one) => square(one) / one.u ** 2)),
  };
}

describe("loftmark follow on the example's clip, from one hand mark of each target", () => {
  it("writes nothing unless asked to", async () => {
    const { status, out } = await cli(["follow", folder, "--point", "nose", "--to", "20"]);
    expect(status).toBe(0);
    expect(out).toMatch(
      /The nose, from the hand mark in frame 4\n {2}16 frames followed, each mark good to ±0\.02/,
    );
    expect(out).toMatch(/Nothing was written; --save/);
    expect(await read()).toEqual(given);
  });

  it("places both targets to 0.05 px and about 1 u through the whole launch, and the speed comes out", async () => {
    const { status, out } = await cli([
      "follow",
      folder,
      "--point",
      "nose,tail",
      "--both",
      "--save",
      "--json",
    ]);
    expect(status).toBe(0);
    expect(JSON.parse(out)).toMatchObject({
      shotId: "shot-1",
      saved: true,
      followed: ["nose", "tail"].flatMap((pointId) =>
        [177, 0].map((to) => ({ pointId, from: 4, to, end: null })),
      ),
    });
    const { marks } = (await read()).shots[0]!;
    expect(marks.filter(({ by }) => by === "hand")).toEqual(given.shots[0]!.marks);
    for (const id of ["nose", "tail"] as const) {
      const own = marks.filter(({ pointId, by }) => pointId === id && by === "follower");
      expect(own).toHaveLength(177);
      // at rest the coder repeats itself, and so do the marks
      const moving = own.filter(({ frame }) => frame > 28);
      const { px, chi, common } = scatter(id, moving);
      expect(px).toBeLessThan(0.05);
      expect(chi).toBeGreaterThan(0.6);
      expect(chi).toBeLessThan(1.2);
      // What they are off together is what the hand mark is off, to 0.1 px.
      const hand = given.shots[0]!.marks.find(({ pointId }) => pointId === id)!;
      const truth = examplePixel(id, hand.frame);
      expect(Math.hypot(hand.x - truth[0] - common[0]!, hand.y - truth[1] - common[1]!)).toBeLessThan(0.1);
    }
    const measured = await cli(["measure", folder, "--json", "--out", join(home, "write-up")]);
    const { releaseSpeed, pitchAtRelease } = JSON.parse(measured.out).shots[0].quantities;
    const { quantities } = exampleTruth().shots[0]!;
    const speed = quantities.releaseSpeed!.value;
    expect(Math.abs(releaseSpeed.value / speed - 1)).toBeLessThan(0.007);
    expect(Math.abs(releaseSpeed.value - speed)).toBeLessThan(2.5 * releaseSpeed.u);
    // of it 0.37 % for a flight that nobody said to be in the plane of the rod
    expect(releaseSpeed.u / speed).toBeLessThan(0.005);
    expect(Math.abs(pitchAtRelease.value - quantities.pitchAtRelease!.value)).toBeLessThan(
      2.5 * pitchAtRelease.u,
    );
  });

  it("follows backwards, from a frame in the middle, and names hand marks that it met", async () => {
    const [nose] = given.shots[0]!.marks;
    const [x, y] = examplePixel("nose", 150);
    const hand: Mark = { ...nose!, frame: 150, x, y };
    const wrong: Mark = {
      ...nose!,
      frame: 140,
      x: examplePixel("nose", 140)[0] + 7,
      y: examplePixel("nose", 140)[1],
    };
    const shots = [{ ...given.shots[0]!, marks: [nose!, wrong, hand] }];
    await writeFile(join(folder, "loftmark.json"), JSON.stringify({ ...given, shots }));
    const { status, out } = await cli(["follow", folder, "--point", "nose", "--back", "--to", "130"]);
    expect(status).toBe(0);
    expect(out).toMatch(/from the hand mark in frame 150\n {2}19 frames followed/);
    expect(out).toMatch(/Hand mark in frame 140: [67]\.\d\d px away, 1\d\.\d u\. It disagrees/);
  });
});

describe("loftmark follow that cannot", () => {
  it.each([
    [["--point", "nose,wing"], "unknown-point", /no point "wing"[\s\S]*nose, tail/],
    [["--point", "nose", "--shot", "shot-9"], "unknown-shot", /no shot "shot-9"[\s\S]*shot-1/],
    [["--point", "nose", "--from", "9"], "no-hand-mark", /no hand mark in frame 9[\s\S]*frame 4/],
    [["--point", "nose", "--to", "178"], "no-such-frame", /no frame 178/],
  ] as const)("%j: %s", async (options, code, words) => {
    await writeFile(join(folder, "loftmark.json"), JSON.stringify(given));
    const { status, out, err } = await cli(["follow", folder, ...options, "--json"]);
    expect(status).toBe(1);
    expect(JSON.parse(out).error.code).toBe(code);
    expect(err).toMatch(words);
  });

  it("says why nothing was followed, with status 1", async () => {
    const [nose, tail] = given.shots[0]!.marks;
    const sky: Mark = { ...nose!, x: 1500, y: 30 };
    await writeFile(
      join(folder, "loftmark.json"),
      JSON.stringify({ ...given, shots: [{ ...given.shots[0]!, marks: [sky, tail!] }] }),
    );
    const { status, out } = await cli(["follow", folder, "--point", "nose"]);
    expect(status).toBe(1);
    expect(out).toMatch(
      /No frame was followed\.\n {2}The picture around the mark in frame 4 changes too little/,
    );
  });

  it.each([
    [["--shot", "shot-1"], /needs --point/],
    [["--point", "nose", "--to", "2"], /does not lie after the hand mark in frame 4; --back/],
    [["--point", "nose", "--both", "--to", "9"], /--both goes to both ends/],
    [["--point", "nose", "--from", "x"], /--from takes the number of a frame, not "x"/],
  ] as const)("shows how it is used for %j", async (options, words) => {
    await writeFile(join(folder, "loftmark.json"), JSON.stringify(given));
    const { status, err } = await cli(["follow", folder, ...options]);
    expect(status).toBe(2);
    expect(err).toMatch(words);
  });
});
