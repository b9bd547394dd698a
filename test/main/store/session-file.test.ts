import { execFile } from "node:child_process";
import {
  appendFile,
  mkdir,
  readdir,
  readFile,
  rename,
  rm,
  stat,
  symlink,
  truncate,
  writeFile,
} from "node:fs/promises";
import { basename, join } from "node:path";
import { promisify } from "node:util";
import { afterAll, beforeAll, describe, expect, it, vi } from "vitest";
import { prepareFile } from "../../../src/main/store/atomic-write.ts";
import { openFieldFolder } from "../../../src/main/store/field-folder.ts";
import { createSessionFile } from "../../../src/main/store/session-file.ts";
import { momentsOf, stateAt, undoSteps } from "../../../src/main/store/session-history.ts";
import { sessionText } from "../../../src/main/store/session-text.ts";
import { freshSession } from "../../../src/shared/session/fresh.ts";
import { type JournalStep, replaySteps } from "../../../src/shared/session/journal.ts";
import { patchBetween } from "../../../src/shared/session/patch.ts";
import { type Session, SessionSchema, ShotSchema } from "../../../src/shared/session/schema.ts";
import { sampleSession } from "../../shared/session/sample-session.ts";
import { saveFromTwo } from "../../stress/two-writers.ts";
import { bundleProgram } from "../../support/bundle-program.ts";
import { faultOf } from "../../support/fault-of.ts";
import { snapshotOf, temporaryFolder } from "../../support/temporary-folder.ts";

async function sessionFile() {
  const path = await temporaryFolder();
  return { path, file: createSessionFile(await openFieldFolder(path)) };
}

const titled = (title: string) => ({ ...sampleSession(), title });

describe("SessionFile.read", () => {
  it("gives a fresh session named after the folder and writes nothing when there is none", async () => {
    const { path, file } = await sessionFile();
    expect(await file.read()).toEqual({
      session: freshSession(basename(path)),
      revision: "none",
      existed: false,
      before: null,
    });
    expect(await snapshotOf(path)).toEqual({});
  });

  it("reads what was saved, also with a byte order mark before it", async () => {
    const { path, file } = await sessionFile();
    const revision = await file.save(sampleSession(), "none");
    expect(await file.read()).toEqual({ session: sampleSession(), revision, existed: true, before: null });
    await writeFile(join(path, "loftmark.json"), `\uFEFF${sessionText(titled("marked"))}`);
    expect((await file.read()).session.title).toBe("marked");
  });

  it.each([
    ["broken-session", "{ half of it"],
    ["broken-session", ""],
    ["not-a-session", "[1, 2]"],
    ["newer-session", '{"format": "loftmark-session", "version": 99}'],
    ["bad-session", '{"format": "loftmark-session", "version": 1}'],
  ])("refuses as %s the file %j and leaves it byte for byte", async (code, text) => {
    const { path, file } = await sessionFile();
    await writeFile(join(path, "loftmark.json"), text);
    const before = await snapshotOf(path);
    expect(await faultOf(file.read())).toMatchObject({ code });
    expect(await faultOf(file.save(sampleSession(), "none"))).toMatchObject({ code: "session-changed" });
    expect(await snapshotOf(path)).toEqual(before);
  });

  it("refuses a session file that is a link or a folder", async () => {
    const [{ path, file }, outside] = [await sessionFile(), await temporaryFolder()];
    await writeFile(join(outside, "other.json"), sessionText(sampleSession()));
    await symlink(join(outside, "other.json"), join(path, "loftmark.json"));
    expect(await faultOf(file.read())).toMatchObject({ code: "outside-folder" });
    expect(await faultOf(file.save(titled("x"), "none"))).toMatchObject({ code: "outside-folder" });
    expect(await readFile(join(outside, "other.json"), "utf8")).toBe(sessionText(sampleSession()));
  });
});

describe("SessionFile.save", () => {
  it("brings the file up to the last step and keeps every step in the journal", async () => {
    const { path, file } = await sessionFile();
    let revision = "none";
    for (const title of ["one", "two", "three"]) revision = await file.save(titled(title), revision);
    await file.settled();
    const { "loftmark.json": now, ...rest } = await snapshotOf(path);
    expect(now).toBe(sessionText(titled("three")));
    expect(Object.keys(rest)).toEqual(["loftmark.history/000001.jsonl"]);
    expect((await momentsOf(path)).length).toBe(4); // as first opened, and three steps
  });

  it("does nothing when the file already holds that session", async () => {
    const { path, file } = await sessionFile();
    const one = await file.save(titled("one"), "none");
    const two = await file.save(titled("two"), one);
    await file.settled();
    const before = await snapshotOf(path);
    expect(await file.save(titled("two"), two)).toBe(two);
    expect(await snapshotOf(path)).toEqual(before);
  });

  it("refuses when the file changed, appeared or went since it was read", async () => {
    const { path, file } = await sessionFile();
    const one = await file.save(titled("one"), "none");
    await file.save(titled("two"), one);
    await file.settled();
    const before = await snapshotOf(path);
    for (const base of [one, "none", "anything"]) {
      const fault = await faultOf(file.save(titled("late"), base));
      expect(fault.code).toBe("session-changed");
      expect(fault.remedy).toContain("Reload");
    }
    expect(await snapshotOf(path)).toEqual(before);
    const other = await sessionFile();
    expect(await faultOf(other.file.save(titled("late"), one))).toMatchObject({ code: "session-changed" });
    expect(await snapshotOf(other.path)).toEqual({});
  });

  it("lets one of two saves of one base win and refuses the other", async () => {
    const { path, file } = await sessionFile();
    const base = await file.save(titled("base"), "none");
    const ends = await Promise.allSettled([
      file.save(titled("left"), base),
      file.save(titled("right"), base),
    ]);
    expect(ends.map((end) => end.status)).toEqual(["fulfilled", "rejected"]);
    expect((await file.read()).session.title).toBe("left");
    await file.settled();
    expect((await snapshotOf(path))["loftmark.json"]).toBe(sessionText(titled("left")));
  });

  it("leaves the session untouched and tells why when the disk refuses", async () => {
    const { path, file } = await sessionFile();
    await writeFile(join(path, "loftmark.json"), sessionText(titled("base")));
    const base = (await file.read()).revision;
    await writeFile(join(path, "loftmark.history"), "in its place");
    const before = await snapshotOf(path);
    const fault = await faultOf(file.save(titled("next"), base));
    expect(fault.cause).toContain("loftmark.history");
    expect(await snapshotOf(path)).toEqual(before);
  });
});

const JOURNAL = join("loftmark.history", "000001.jsonl");

function step(before: Session, after: Session, kind: JournalStep["kind"] = "do"): JournalStep {
  const place = { shotId: null, frame: null, heading: null };
  const patch = patchBetween(before, after);
  return { kind, says: `${kind} ${after.title}`, place, at: "2026-05-01T10:00:00.000Z", patch };
}

/**
 * A folder with a session of some saved titles, as a process leaves it that was killed
 * before its file followed.
 */
async function killed(titles: readonly string[]) {
  const { path, file } = await sessionFile();
  let revision = await file.save(titled("first"), "none");
  await file.settled();
  const behind = await readFile(join(path, "loftmark.json"));
  for (const title of titles) revision = await file.save(titled(title), revision);
  await file.settled();
  // Back to the bytes of before: the journal has the steps, the file has not.
  await writeFile(join(path, "loftmark.json"), behind);
  const again = createSessionFile(await openFieldFolder(path));
  return { path, revision, file: again };
}

describe("SessionFile of a folder that is gone", () => {
  it("offers and saves no fresh session, whether nothing or another folder is at its place", async () => {
    const { path, file } = await sessionFile();
    const revision = await file.save(titled("kept"), "none");
    await file.settled();
    await rename(path, `${path} moved`);
    for (const replaced of [false, true]) {
      if (replaced) await mkdir(path);
      expect((await faultOf(file.read())).code).toBe("folder-gone");
      for (const base of ["none", revision]) {
        expect((await faultOf(file.save(titled("lost"), base))).code).toBe("folder-gone");
      }
    }
    expect(await readdir(path)).toEqual([]);
    await rm(path, { recursive: true });
    await rename(`${path} moved`, path);
    expect((await file.read()).session.title).toBe("kept");
  });
});

describe("SessionFile while its file is written", () => {
  /** A session file whose document's file is written, from the second time on, only when it is let. */
  async function heldUp() {
    const path = await temporaryFolder();
    let isFree = true;
    let letOne = () => {};
    let noticed = () => {};
    const file = createSessionFile(await openFieldFolder(path), async (...asked) => {
      if (!isFree) {
        await new Promise<void>((resolve) => {
          letOne = resolve;
          noticed();
        });
      }
      return prepareFile(...asked);
    });
    const revision = await file.save(titled("first"), "none");
    await file.settled();
    isFree = false;
    return {
      path,
      file,
      revision,
      /** Resolves when the file would be written next. */
      writing: new Promise<void>((resolve) => {
        noticed = resolve;
      }),
      letOne: () => letOne(),
      letAll() {
        isFree = true;
        letOne();
      },
    };
  }
  const onDisk = async (path: string) => (await snapshotOf(path))["loftmark.json"];

  it("acknowledges steps meanwhile, and lets the file follow in the end", async () => {
    const { path, file, revision, writing, letAll } = await heldUp();
    const two = await file.saveSteps([step(titled("first"), titled("two"))], revision);
    await writing;
    const three = await file.saveSteps([step(titled("two"), titled("three"))], two);
    const four = await file.saveSteps([step(titled("three"), titled("four"))], three);
    expect(await onDisk(path)).toBe(sessionText(titled("first")));
    letAll();
    await file.settled();
    expect(await onDisk(path)).toBe(sessionText(titled("four")));
    expect(await file.read()).toMatchObject({ session: titled("four"), revision: four });
    expect(Object.keys(await snapshotOf(path))).toEqual(["loftmark.history/000001.jsonl", "loftmark.json"]);
  });

  it("knows after a crash that a file written meanwhile is behind, and brings it up to the last step", async () => {
    const { path, file, revision, writing, letOne, letAll } = await heldUp();
    const two = await file.saveSteps([step(titled("first"), titled("two"))], revision);
    await writing;
    const three = await file.saveSteps([step(titled("two"), titled("three"))], two);
    letOne(); // what comes after it is not let, and so never happens, as after a crash
    await expect.poll(() => onDisk(path)).toBe(sessionText(titled("two")));
    const again = createSessionFile(await openFieldFolder(path));
    expect(await again.read()).toMatchObject({ session: titled("three"), revision: three, before: null });
    await again.settled();
    expect(await onDisk(path)).toBe(sessionText(titled("three")));
    letAll();
    await file.settled();
  });

  it("leaves a file that another program wrote after the last look at it, up to the rename", async () => {
    const path = await temporaryFolder();
    const file = createSessionFile(await openFieldFolder(path), async (...asked) => {
      const whole = await prepareFile(...asked);
      await writeFile(join(path, "loftmark.json"), sessionText(titled("theirs")));
      return whole;
    });
    const mine = await file.save(titled("mine"), "none");
    expect(await onDisk(path)).toBe(sessionText(titled("theirs")));
    expect(await file.read()).toMatchObject({ session: titled("theirs"), before: "000001-1" });
    expect(await faultOf(file.save(titled("more"), mine))).toMatchObject({ code: "session-changed" });
    expect(Object.keys(await snapshotOf(path))).toEqual(["loftmark.history/000001.jsonl", "loftmark.json"]);
  });

  it("sees a file that another program wrote right after the rename", async () => {
    const path = await temporaryFolder();
    const theirs = sessionText(titled("theirs"));
    const file = createSessionFile(await openFieldFolder(path), async (...asked) => {
      const whole = await prepareFile(...asked);
      const commit = async () => {
        await whole.commit();
        await writeFile(join(path, "loftmark.json"), theirs);
      };
      return { ...whole, commit };
    });
    const mine = await file.save(titled("mine"), "none");
    expect(await faultOf(file.save(titled("more"), mine))).toMatchObject({ code: "session-changed" });
    expect(await onDisk(path)).toBe(theirs);
  });

  it("puts no file in place of what another program saved meanwhile", async () => {
    const { path, file, revision, writing, letAll } = await heldUp();
    const two = await file.saveSteps([step(titled("first"), titled("two"))], revision);
    await writing;
    const other = createSessionFile(await openFieldFolder(path));
    const three = await other.saveSteps([step(titled("two"), titled("three"))], two);
    await other.settled();
    letAll();
    await file.settled();
    expect(await onDisk(path)).toBe(sessionText(titled("three")));
    expect(await file.read()).toMatchObject({ revision: three, before: null });
    expect(Object.keys(await snapshotOf(path))).toEqual(["loftmark.history/000001.jsonl", "loftmark.json"]);
  });
});

describe("SessionFile after a crash", () => {
  it("reads the last acknowledged step from the journal, and brings the file up to it", async () => {
    const { path, revision, file } = await killed(["two", "three"]);
    expect(await file.read()).toEqual({ session: titled("three"), revision, existed: true, before: null });
    await file.settled();
    expect((await snapshotOf(path))["loftmark.json"]).toBe(sessionText(titled("three")));
    expect((await file.read()).revision).toBe(revision);
  });

  it("passes over half a line at the journal's end and writes the next step over it", async () => {
    const { path, revision, file } = await killed(["two"]);
    await appendFile(join(path, JOURNAL), '{"step":{"kind":"do","says":"half');
    expect((await file.read()).session.title).toBe("two");
    const next = await file.save(titled("three"), revision);
    await file.settled();
    const again = createSessionFile(await openFieldFolder(path));
    expect(await again.read()).toMatchObject({ session: titled("three"), revision: next });
  });

  it("takes a step that was sent again, because its acknowledgement was lost, only once", async () => {
    const { path, file } = await sessionFile();
    const base = await file.save(titled("base"), "none");
    const steps = [step(titled("base"), titled("one")), step(titled("one"), titled("two"))];
    const revision = await file.saveSteps(steps, base);
    expect(await file.saveSteps(steps, base)).toBe(revision);
    expect(await faultOf(file.saveSteps(steps.slice(0, 1), base))).toMatchObject({ code: "session-changed" });
    expect((await momentsOf(path)).filter(({ says }) => says === "do two").length).toBe(1);
  });

  it("reads the document from the file when the journal is gone or damaged at its head", async () => {
    const { path, file } = await sessionFile();
    await file.save(titled("one"), "none");
    await file.settled();
    await truncate(join(path, JOURNAL), 20);
    const damaged = createSessionFile(await openFieldFolder(path));
    const { session, revision } = await damaged.read();
    expect(session.title).toBe("one");
    await damaged.save(titled("two"), revision);
    await damaged.settled();
    await rm(join(path, "loftmark.history"), { recursive: true });
    expect((await createSessionFile(await openFieldFolder(path)).read()).session.title).toBe("two");
  });
});

describe("SessionFile beside other programs", () => {
  it("takes a file that another program wrote as the session, and names the state before it", async () => {
    const { path, file } = await killed(["two"]);
    await writeFile(join(path, "loftmark.json"), sessionText(titled("from an editor")));
    const read = await file.read();
    expect(read.session.title).toBe("from an editor");
    expect((await stateAt(path, read.before!)).title).toBe("two");
    const next = await file.save(titled("after"), read.revision);
    expect(await file.read()).toMatchObject({ session: titled("after"), revision: next, before: null });
    expect((await momentsOf(path)).map(({ kind }) => kind)).toContain("outside");
    expect((await stateAt(path, read.before!)).title).toBe("two");
  });

  it("says nothing of a file that only lies differently on the disk", async () => {
    const { path, file } = await killed([]);
    await writeFile(join(path, "loftmark.json"), JSON.stringify(titled("first")));
    expect(await file.read()).toMatchObject({ session: titled("first"), before: null });
  });

  it("sees what a second opener of the folder saved, and refuses to save over it", async () => {
    const { path, file } = await sessionFile();
    const base = await file.save(titled("base"), "none");
    const other = createSessionFile(await openFieldFolder(path));
    const theirs = await other.save(titled("theirs"), (await other.read()).revision);
    expect(await faultOf(file.save(titled("mine"), base))).toMatchObject({ code: "session-changed" });
    expect(await file.read()).toMatchObject({ session: titled("theirs"), revision: theirs });
  });

  it("offers a fresh session, and the history, when the session file was taken away", async () => {
    const { path, file } = await killed(["two"]);
    await rm(join(path, "loftmark.json"));
    const read = await file.read();
    expect([read.existed, read.revision]).toEqual([false, "none"]);
    expect((await stateAt(path, read.before!)).title).toBe("two");
  });

  it("puts a state of the history in place of a file that cannot be read, and keeps that file", async () => {
    const { path, file } = await killed(["two"]);
    await writeFile(join(path, "loftmark.json"), "{ half of it");
    expect(await faultOf(file.read())).toMatchObject({ code: "broken-session" });
    const last = (await momentsOf(path))[0]!;
    expect(last.says).toBe("Saved");
    expect(await file.replaceBroken(await stateAt(path, last.id))).toBe("loftmark.broken-1.json");
    expect((await snapshotOf(path))["loftmark.broken-1.json"]).toBe("{ half of it");
    expect((await file.read()).session).toEqual(titled("two"));
    await file.settled();
    expect((await snapshotOf(path))["loftmark.json"]).toBe(sessionText(titled("two")));
  });
});

describe("SessionFile.saveSteps", () => {
  it("refuses steps that do not fit or lead to no valid document, and changes nothing", async () => {
    const { path, file } = await sessionFile();
    const base = await file.save(titled("base"), "none");
    await file.settled();
    const before = await snapshotOf(path);
    const broken = step(titled("base"), { ...titled("base"), units: "furlongs" as "SI" });
    const misfit = { ...step(titled("base"), titled("x")), patch: [{ at: ["nowhere", 3], set: 1 }] };
    expect(await faultOf(file.saveSteps([broken], base))).toMatchObject({ code: "bad-steps" });
    expect(await faultOf(file.saveSteps([misfit], base))).toMatchObject({ code: "bad-steps" });
    expect(await snapshotOf(path)).toEqual(before);
  });

  it("looks through no part of the document that the steps leave as it is", async () => {
    const { file } = await sessionFile();
    const base = await file.save(titled("base"), "none");
    const whole = vi.spyOn(SessionSchema, "safeParse");
    const ofShot = vi.spyOn(ShotSchema, "safeParse");
    try {
      await file.saveSteps([step(titled("base"), titled("one"))], base);
      expect([whole.mock.calls.length, ofShot.mock.calls.length]).toEqual([0, 0]);
    } finally {
      vi.restoreAllMocks();
    }
    await file.settled();
  });

  it("keeps the stack of undo, across segments too", async () => {
    const { path, file } = await sessionFile();
    let [revision, now] = [await file.save(titled("start"), "none"), titled("start")];
    const notes = "x".repeat(9900);
    const filler = (i: number): Session => ({
      ...now,
      title: `t${i}`,
      shots: now.shots.map((shot) => ({ ...shot, notes: `${i}${notes}` })),
    });
    for (let i = 0; i < 130; i++) {
      const after = filler(i);
      revision = await file.saveSteps([step(now, after)], revision);
      now = after;
    }
    revision = await file.saveSteps([step(now, titled("start"), "do")], revision);
    revision = await file.saveSteps([step(titled("start"), now, "undo")], revision);
    expect(Object.keys(await snapshotOf(path)).filter((name) => name.endsWith(".jsonl")).length).toBe(2);
    await file.settled();
    const undo = (await undoSteps(path))!;
    expect(undo.revision).toBe(revision);
    const history = replaySteps(undo.from, undo.steps);
    expect(history.present).toEqual(now);
    expect(history.future.map(({ session }) => session.title)).toEqual(["start"]);
    expect(history.past.length).toBe(131);
    expect(history.past.at(-1)!.session.title).toBe("t128");
  });

  it("begins a segment of its own when a journal comes from a folder that was renamed away", async () => {
    const { path, file } = await sessionFile();
    const base = await file.save(titled("base"), "none");
    await rename(join(path, "loftmark.history"), join(path, "put aside"));
    const next = await file.save(titled("next"), (await file.read()).revision);
    expect(next).not.toBe(base);
    await file.settled();
    expect((await file.read()).session.title).toBe("next");
  });
});

describe("SessionFile.save of two programs", () => {
  let program: Awaited<ReturnType<typeof bundleProgram>>;
  beforeAll(async () => {
    program = await bundleProgram("test/stress/save-when-told.ts");
  });
  afterAll(() => program.remove());

  it("loses no update that was acknowledged, together or staggered, and leaves no other file", async () => {
    const folder = await temporaryFolder();
    const rounds = { together: 12, staggered: 8 };
    const { acknowledged, lost, refusals } = await saveFromTwo(program.path, folder, rounds, 8);
    expect(lost).toEqual([]);
    expect(new Set(acknowledged).size).toBe(40);
    expect(refusals).toBeGreaterThan(0);
    expect((await readdir(folder)).sort()).toEqual(["loftmark.history", "loftmark.json"]);
  });
});

describe("a journal that suffered", () => {
  const step = (before: Session, after: Session): JournalStep => ({
    kind: "do",
    says: after.title,
    place: { shotId: null, frame: null, heading: null },
    at: "2026-05-01T10:00:00.000Z",
    patch: patchBetween(before, after),
  });

  it("takes steps again whose answer was lost, with others made since", async () => {
    const { file } = await sessionFile();
    const base = await file.save(titled("one"), "none");
    const [two, three] = [step(titled("one"), titled("two")), step(titled("two"), titled("three"))];
    await file.saveSteps([two], base);
    const revision = await file.saveSteps([two, three], base);
    expect(await file.read()).toMatchObject({ session: { title: "three" }, revision });
    await file.settled();
  });

  it("keeps what follows a damaged line, and goes on in a new segment", async () => {
    const { path, file } = await sessionFile();
    const base = await file.save(titled("one"), "none");
    await file.settled();
    const next = await file.saveSteps([step(titled("one"), titled("two"))], base);
    await file.settled();
    const segment = join(path, "loftmark.history", "000001.jsonl");
    const lines = (await readFile(segment, "utf8")).split("\n");
    const damaged = lines.map((line, i) => (i === 3 ? `x${line.slice(1)}` : line)).join("\n");
    await writeFile(segment, damaged);
    const again = createSessionFile(await openFieldFolder(path));
    const { session, revision } = await again.read();
    expect(session.title).toBe("two"); // the document's own file has it
    expect(revision).not.toBe(next);
    await writeFile(join(path, "loftmark.json"), sessionText(titled("one")));
    const older = createSessionFile(await openFieldFolder(path));
    const held = await older.read();
    await older.saveSteps([step(held.session, titled("three"))], held.revision);
    await older.settled();
    expect(await readFile(segment, "utf8")).toBe(damaged);
    expect((await createSessionFile(await openFieldFolder(path)).read()).session.title).toBe("three");
  });

  it.skipIf(process.platform === "win32")(
    "acknowledges nothing that a full disk took only half of, and loses nothing from before",
    async () => {
      const { path, file } = await sessionFile();
      await file.save(titled("before"), "none");
      await file.settled();
      const program = await bundleProgram("test/support/save-until-full.ts");
      const bytes = (await stat(join(path, "loftmark.history", "000001.jsonl"))).size;
      const blocks = Math.ceil(bytes / 1024) + 2; // bash counts the largest file in blocks of 1024 bytes
      const { stdout } = await promisify(execFile)("bash", [
        "-c",
        `ulimit -f ${blocks}; exec "$0" "$1" "$2"`,
        process.execPath,
        program.path,
        path,
      ]).finally(() => program.remove());
      const [told, code] = JSON.parse(stdout) as [string, string];
      expect(code).toBe("file-too-large");
      const after = await createSessionFile(await openFieldFolder(path)).read();
      expect(after.session.title).toBe(told);
    },
  );
});
