import { mkdtemp, readFile, rm, truncate, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it, vi } from "vitest";
import { EXAMPLE_CLIP, exampleSession } from "../../../src/main/example/example-session.ts";
import { ffmpeg, makeClip } from "../../support/make-clip.ts";
import { ofShot } from "../../support/notice-codes.ts";
import { cli } from "../../support/run-cli.ts";
import { snapshotOf, temporaryFolder } from "../../support/temporary-folder.ts";

// biome-ignore lint/suspicious/noExplicitAny: these tests break documents at places the types forbid
type Loose = any;

let clips: string;
let wholeClip: string;

beforeAll(async () => {
  clips = await mkdtemp(join(tmpdir(), "loftmark clips "));
  vi.stubEnv("LOFTMARK_CACHE", join(clips, "cache"));
  wholeClip = join(clips, "whole.mp4");
  await makeClip(wholeClip, 400);
  await ffmpeg("-f", "lavfi", "-i", "sine=frequency=440:duration=1", join(clips, "sound.mp4"));
});

afterAll(() => rm(clips, { recursive: true, force: true }));

/** A field folder that can be measured: the example's session and a clip long enough for its marks. */
async function goodFolder(): Promise<string> {
  const folder = await temporaryFolder();
  await writeFile(join(folder, EXAMPLE_CLIP), await readFile(wholeClip));
  await writeSession(folder, () => {});
  return folder;
}

async function writeSession(folder: string, change: (session: Loose) => void): Promise<void> {
  const session = JSON.parse(JSON.stringify(exampleSession(1)));
  change(session);
  await writeFile(join(folder, "loftmark.json"), JSON.stringify(session, null, 1));
}

const clipOf = (folder: string) => join(folder, EXAMPLE_CLIP);

const BAD_INPUTS: readonly [
  what: string,
  code: string,
  spoil: (folder: string) => Promise<unknown>,
  remedy: RegExp,
][] = [
  [
    "the clip is missing",
    "no-such-clip",
    (folder) => rm(clipOf(folder)),
    /Copy the clip into the field folder/,
  ],
  [
    "the clip is no video",
    "not-a-video",
    (folder) => writeFile(clipOf(folder), "a letter\n".repeat(999)),
    /./,
  ],
  [
    "the clip is cut off",
    "clip-cut-off",
    async (folder) => truncate(clipOf(folder), Math.floor((await readFile(wholeClip)).length / 2)),
    /Copy the clip from the card again/,
  ],
  [
    "the clip holds sound only",
    "no-video-stream",
    async (folder) => writeFile(clipOf(folder), await readFile(join(clips, "sound.mp4"))),
    /Pick the clip/,
  ],
  [
    "the session is broken JSON",
    "broken-session",
    async (folder) => {
      const text = await readFile(join(folder, "loftmark.json"), "utf8");
      await writeFile(join(folder, "loftmark.json"), text.slice(0, text.length / 2));
    },
    /last good state/,
  ],
  [
    "the session is of a newer version",
    "newer-session",
    (folder) =>
      writeSession(folder, (session) => {
        session.version = 99;
      }),
    /Update Loftmark/,
  ],
  [
    "the airframe's mass is negative",
    "bad-session",
    (folder) =>
      writeSession(folder, (session) => {
        session.airframes[0].massKg.value *= -1;
      }),
    /Correct the named fields/,
  ],
  ["the folder is missing", "no-such-folder", (folder) => rm(folder, { recursive: true }), /Give the path/],
  [
    "the shot has no scale",
    ofShot("no-scale"),
    (folder) =>
      writeSession(folder, (session) => {
        session.shots[0].scale = null;
      }),
    /scale/i,
  ],
  [
    "the shot has too few marks",
    ofShot("too-few-frames"),
    async (folder) => {
      // Seen by a camera that does not move: of one that does, that is said first.
      const still = ["color=gray:size=320x240:rate=30", "-frames:v", "400", "-pix_fmt", "yuv420p"];
      await ffmpeg("-f", "lavfi", "-i", ...still, clipOf(folder));
      await writeSession(folder, (session) => {
        session.shots[0].marks = session.shots[0].marks.slice(0, 6);
      });
    },
    /mark/i,
  ],
  [
    "the clip's name leads out of the folder",
    "bad-clip-name",
    async (folder) => {
      await writeFile(`${folder}.mp4`, await readFile(wholeClip));
      await writeSession(folder, (session) => {
        session.shots[0].clip = `../${folder.split("/").at(-1)}.mp4`;
      });
    },
    /directly in the field folder/,
  ],
];

describe("measure", () => {
  it("measures the folder that the bad inputs are made from", async () => {
    const folder = await goodFolder();
    const { status, out } = await cli(["measure", folder, "--json"]);
    expect(status).toBe(0);
    expect(JSON.parse(out).shots[0].quantities.releaseSpeed).toMatchObject({ unit: "m/s" });
  });

  it.each(BAD_INPUTS)(
    "exits 1 when %s (%s), says why and what to do, and changes nothing",
    async (_, code, spoil, remedy) => {
      const folder = await goodFolder();
      try {
        await spoil(folder);
        const before = await snapshotOf(folder).catch(() => null);

        const { status, out, err } = await cli(["measure", folder, "--json"]);
        expect(status).toBe(1);
        const reply = JSON.parse(out);
        const faults: { code: string; cause: string; remedy: string }[] = reply.error
          ? [reply.error]
          : reply.shots.flatMap((shot: Loose) => shot.notices);
        expect(faults.map((fault) => fault.code)).toContain(code);
        const fault = faults.find((one) => one.code === code)!;
        expect(fault.cause).toMatch(/^[A-Z"\w].{15,}\.$/s);
        expect(fault.remedy).toMatch(/^[A-Z].{15,}\.$/s);
        expect(fault.remedy).toMatch(remedy);
        expect(flat(err)).toContain(flat(fault.cause));
        expect(flat(err)).toContain(flat(fault.remedy));
        expect(`${out}${err}`).not.toMatch(/\n\s+at .+:\d+:\d+/); // no stack

        const plain = await cli(["measure", folder]);
        expect([plain.status, plain.out, plain.err]).toEqual([1, "", err]);
        expect(await snapshotOf(folder).catch(() => null)).toEqual(before);
      } finally {
        await rm(`${folder}.mp4`, { force: true });
      }
    },
  );

  it("measures the good shots of a folder beside a bad one, whose notice says why", async () => {
    const folder = await goodFolder();
    await writeSession(folder, (session) => {
      session.shots.push({ ...session.shots[0], id: "lost", clip: "lost.mp4" });
    });
    const { status, out } = await cli(["measure", folder, "--json"]);
    expect(status).toBe(0);
    const { shots } = JSON.parse(out);
    expect(shots[0].quantities.releaseSpeed).toBeDefined();
    expect(shots[1].notices[0].code).toBe("no-such-clip");
  });
});

describe("inspect", () => {
  it.each([
    ["not there", "none.mp4", "no-such-clip"],
    ["sound only", "sound.mp4", "no-video-stream"],
    ["hidden or a path", ".hidden.mp4", "bad-clip-name"],
  ])("exits 1 when the clip is %s", async (_, name, code) => {
    const { status, out, err } = await cli(["inspect", name, "--json"], { cwd: clips });
    expect([status, JSON.parse(out).error.code]).toEqual([1, code]);
    expect(err).not.toBe("");
  });
});

/** Words without the line breaks and indents that a terminal gets. */
function flat(text: string): string {
  return text.replace(/\s+/g, " ");
}
