import { mkdir, mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, it, vi } from "vitest";
import { freshShot } from "../../../src/shared/session/fresh.ts";
import { type Session, SessionSchema, type Shot } from "../../../src/shared/session/schema.ts";
import { findFfmpeg } from "../../../tools/find-program.mjs";
import { ELSEWHERE, writeNudgedDay } from "../../support/nudged-day.ts";
import { cli } from "../../support/run-cli.ts";

let home: string;
let folder: string;
beforeAll(async () => {
  home = await mkdtemp(join(tmpdir(), "loftmark carry "));
  vi.stubEnv("LOFTMARK_CACHE", join(home, "cache"));
  vi.stubEnv("LOFTMARK_DATA", join(home, "data"));
  folder = join(home, "field");
  await mkdir(folder);
  await writeNudgedDay(folder, findFfmpeg()!.path, ["one.mp4", "two.mp4", ELSEWHERE]);
});
afterAll(() => rm(home, { recursive: true, force: true }));

async function session(): Promise<Session> {
  return SessionSchema.parse(JSON.parse(await readFile(join(folder, "loftmark.json"), "utf8")));
}

async function said(...argv: string[]) {
  const { status, out, err } = await cli(["carry", folder, ...argv]);
  return { status, out: out.replace(/\s+/g, " "), err: err.replace(/\s+/g, " ") };
}

it("loftmark carry says what it found of a former shot's set-up, and writes it when asked", async () => {
  const before = await session();
  const looked = await said("--clip", "two.mp4");
  expect([looked.status, looked.err]).toEqual([0, ""]);
  expect(looked.out).toMatch(
    /Since Shot 1 the picture has moved by 4\.0 ± 0\.0\d px and turned by 0\.20 ± 0\.0\d\d° clockwise/,
  );
  expect(looked.out).toContain("the rod, the other end of the rod, the top of the plumb, the bottom of the");
  expect(looked.out).toContain("480.00 ± 0.20 Hz, as there; neither file names it, so change it if the");
  expect(looked.out).toContain("Nothing was written; --save puts the shot into the session.");
  expect(await session()).toEqual(before);

  // every new clip in one go: one that is refused is named, and holds the others up in nothing
  const { status, out } = await cli(["carry", folder, "--all", "--save", "--json"]);
  expect(status).toBe(1);
  expect(JSON.parse(out)).toMatchObject([
    { clip: ELSEWHERE, refused: { cause: expect.stringContaining("does not show what Shot 1 shows") } },
    { shotId: "shot-2", asShotId: "shot-1", saved: true, rates: "untold" },
  ]);
  const [first, second] = (await session()).shots;
  expect(second).toMatchObject({
    clip: "two.mp4",
    clock: first!.clock,
    scale: { carried: { a: first!.scale!.a, b: first!.scale!.b, uPx: first!.scale!.uPx } },
    plumb: { carried: { uPx: first!.plumb!.uPx } },
    conditions: { gaugePressurePa: null, temperatureK: first!.conditions.temperatureK },
  });
  const again = await said("--clip", "two.mp4");
  expect([again.status, again.err]).toEqual([
    1,
    expect.stringMatching(/two\.mp4 is the clip of Shot 2 \(shot-2\)/),
  ]);
  expect(second!.marks.map(({ pointId, by }) => [pointId, by])).toEqual([
    ["nose", "hand"],
    ["tail", "hand"],
  ]);
});

it("refuses a clip of another place, a shot without a set-up, and a pick that it does not know", async () => {
  const elsewhere = await said("--clip", ELSEWHERE);
  expect(elsewhere.status).toBe(1);
  expect(elsewhere.err).toMatch(/elsewhere\.mp4 does not show what Shot 1 shows: of \d+ places/);
  const before = await session();
  const [first, second] = before.shots as [Shot, Shot];
  const unset = freshShot("shot-2", second.name, "two.mp4");
  await writeFile(join(folder, "loftmark.json"), JSON.stringify({ ...before, shots: [first, unset] }));
  expect((await said("--clip", "two.mp4", "--as", "shot-7")).err).toContain('no shot "shot-7"');
  expect((await said("--clip", "two.mp4", "--accept", "nose")).err).toContain("it takes scale.a, scale.b,");
  // that shot is set up, and no other one is made
  expect((await said("--clip", "two.mp4", "--save")).status).toBe(0);
  const bare = await session();
  expect(bare.shots.map(({ id, scale }) => [id, scale])).toEqual([
    ["shot-1", first.scale],
    ["shot-2", second.scale],
  ]);
  const shots = bare.shots.map((shot) => ({ ...shot, marks: [] }));
  await writeFile(join(folder, "loftmark.json"), JSON.stringify({ ...bare, shots }));
  expect((await said("--clip", ELSEWHERE)).err).toContain(
    "No other shot of the session has a scale, a clock",
  );
});
