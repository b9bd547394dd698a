import { mkdir, readdir, readFile, rm, stat, symlink, utimes, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { clearLeftLock, type LockClock, withFolderLock } from "../../../src/main/store/folder-lock.ts";
import { ownMark, type ProcessMark } from "../../../src/main/store/process-mark.ts";
import { countWithKills, lockFailures } from "../../stress/lock-kills.ts";
import { bundleProgram } from "../../support/bundle-program.ts";
import { faultOf } from "../../support/fault-of.ts";
import { runNode } from "../../support/run-node.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

const FOREIGN: ProcessMark = { pid: 7, host: "shed", space: "", started: "1" };
const GONE: ProcessMark = { ...ownMark(), started: "1" }; // this pid, started long before this process
const OWNER = "0123456789abcdef.json";

/** A clock that goes on only by sleeping, counts the sleeps, and can do something at one of them. */
function paperClock(atSleep: (count: number) => Promise<void> | void = () => {}) {
  const repeating: (() => void)[] = [];
  const clock = {
    ms: 0,
    sleeps: 0,
    nowMs: () => clock.ms,
    async sleep(ms: number) {
      clock.ms += ms;
      await atSleep(++clock.sleeps);
    },
    every(_ms: number, run: () => void) {
      repeating.push(run);
      return () => repeating.splice(repeating.indexOf(run), 1);
    },
    tick() {
      for (const run of repeating) run();
    },
  };
  return clock satisfies LockClock;
}

/** Puts an owner into a folder's lock, as another process would, last refreshed some seconds ago. */
async function heldBy(folder: string, mark: ProcessMark | string, secondsAgo = 0): Promise<string> {
  const owner = join(folder, ".loftmark.lock", OWNER);
  await mkdir(join(folder, ".loftmark.lock"));
  await writeFile(owner, typeof mark === "string" ? mark : JSON.stringify(mark));
  const time = new Date(Date.now() - 1000 * secondsAgo);
  await utimes(owner, time, time);
  return owner;
}

describe("withFolderLock in one process", () => {
  it("runs one after the other in the order of asking, by whatever path, and leaves nothing", async () => {
    const [folder, other] = [await temporaryFolder(), await temporaryFolder()];
    await symlink(folder, join(other, "link"));
    const seen: string[] = [];
    const work = (name: string) => async () => {
      seen.push(`${name} begins`);
      expect(await readdir(folder)).toEqual([".loftmark.lock"]);
      await new Promise((resolve) => setImmediate(resolve));
      seen.push(`${name} ends`);
      return name;
    };
    const paths = [folder, join(other, "link"), join(folder, ".")];
    const runs = paths.map((path, index) => withFolderLock(path, work(`${index}`)));
    expect(await Promise.all(runs)).toEqual(["0", "1", "2"]);
    expect(seen).toHaveLength(6);
    for (let i = 0; i < 6; i += 2) expect(seen[i + 1]).toBe(seen[i]!.replace("begins", "ends"));
    expect(await readdir(folder)).toEqual([]);
  });

  it("locks different folders at the same time", async () => {
    const [one, two] = [await temporaryFolder(), await temporaryFolder()];
    const result = await withFolderLock(one, () => withFolderLock(two, async () => "both"));
    expect(result).toBe("both");
  });

  it("hands on a failure, releases, and lets the next run", async () => {
    const folder = await temporaryFolder();
    const failing = withFolderLock(folder, async () => {
      throw new TypeError("bug");
    });
    const next = withFolderLock(folder, async () => "next");
    await expect(failing).rejects.toThrow(new TypeError("bug"));
    expect(await next).toBe("next");
    expect(await readdir(folder)).toEqual([]);
  });

  it("throws RangeError instead of waiting for itself", async () => {
    const folder = await temporaryFolder();
    const nested = withFolderLock(folder, () => withFolderLock(folder, async () => {}));
    await expect(nested).rejects.toThrow(
      new RangeError(`withFolderLock: called within its own run, for ${folder}`),
    );
  });

  it("says that a folder is gone", async () => {
    const folder = await temporaryFolder();
    await rm(folder, { recursive: true });
    expect(await faultOf(withFolderLock(folder, async () => {}))).toMatchObject({ code: "folder-gone" });
  });
});

describe("withFolderLock beside other programs", () => {
  it("breaks the lock of a process that is gone without waiting, also when its pid is used again", async () => {
    for (const mark of [GONE, { ...GONE, pid: 2 ** 22 + 1 }]) {
      const folder = await temporaryFolder();
      await heldBy(folder, mark);
      const clock = paperClock();
      expect(await withFolderLock(folder, async () => "taken", { clock })).toBe("taken");
      expect(clock.sleeps).toBe(0);
      expect(await readdir(folder)).toEqual([]);
    }
  });

  it("waits for a living one, and names its process and machine when that takes too long", async () => {
    for (const [mark, named] of [
      [ownMark(), `process ${process.pid} on this machine`],
      [FOREIGN, 'process 7 on the machine "shed"'],
    ] as const) {
      const folder = await temporaryFolder();
      await heldBy(folder, mark, mark === FOREIGN ? 0 : 3600);
      const clock = paperClock();
      const fault = await faultOf(withFolderLock(folder, async () => {}, { clock, waitMs: 10_000 }));
      expect(fault).toMatchObject({ code: "folder-busy", remedy: expect.stringContaining("try again") });
      expect(fault.cause).toContain(named);
      expect(clock.ms).toBeGreaterThanOrEqual(10_000);
      expect(await readdir(folder)).toEqual([".loftmark.lock"]);
    }
  });

  it("goes on as soon as the other lets go", async () => {
    const folder = await temporaryFolder();
    const owner = await heldBy(folder, FOREIGN);
    const clock = paperClock(async (count) => {
      if (count === 3) await rm(owner);
    });
    expect(await withFolderLock(folder, async () => "taken", { clock })).toBe("taken");
    expect(clock.sleeps).toBe(3);
  });

  it.each([
    ["another machine's", FOREIGN],
    ["an unreadable", "{"],
  ])("breaks %s lock only after a minute without refresh, looking twice", async (_, mark) => {
    const young = await temporaryFolder();
    await heldBy(young, mark, 50);
    const fault = await faultOf(withFolderLock(young, async () => {}, { clock: paperClock(), waitMs: 5000 }));
    expect(fault.code).toBe("folder-busy");
    const old = await temporaryFolder();
    await heldBy(old, mark, 70);
    const clock = paperClock();
    expect(await withFolderLock(old, async () => "taken", { clock })).toBe("taken");
    expect(clock.ms).toBeGreaterThanOrEqual(2000);
  });

  it("does not break an old lock whose owner wakes up while it waits", async () => {
    const folder = await temporaryFolder();
    const owner = await heldBy(folder, FOREIGN, 3600);
    const clock = paperClock((count) => (count === 2 ? utimes(owner, new Date(), new Date()) : undefined));
    expect((await faultOf(withFolderLock(folder, async () => {}, { clock, waitMs: 9000 }))).code).toBe(
      "folder-busy",
    );
  });

  it("refreshes while it runs", async () => {
    const folder = await temporaryFolder();
    const clock = paperClock();
    await withFolderLock(
      folder,
      async () => {
        const [name] = await readdir(join(folder, ".loftmark.lock"));
        const owner = join(folder, ".loftmark.lock", name!);
        const text = await readFile(owner, "utf8");
        await utimes(owner, 0, 0);
        clock.tick();
        await expect.poll(async () => (await stat(owner)).mtimeMs).toBeGreaterThan(0);
        expect(await readFile(owner, "utf8")).toBe(text);
        expect(JSON.parse(text)).toEqual(ownMark());
      },
      { clock },
    );
    expect(await readdir(folder)).toEqual([]);
  });

  it("says so when the lock was taken away while it ran, and leaves the other's in place", async () => {
    const folder = await temporaryFolder();
    const fault = await faultOf(
      withFolderLock(folder, async () => {
        await rm(join(folder, ".loftmark.lock"), { recursive: true });
        await heldBy(folder, FOREIGN);
      }),
    );
    expect(fault.code).toBe("lock-lost");
    expect(await readdir(join(folder, ".loftmark.lock"))).toEqual([OWNER]);
  });

  it("clears an empty lock and what systems put into folders, and refuses what is not a lock", async () => {
    for (const name of [null, ".DS_Store", `._${OWNER}`]) {
      const folder = await temporaryFolder();
      await mkdir(join(folder, ".loftmark.lock"));
      if (name !== null) await writeFile(join(folder, ".loftmark.lock", name), "");
      expect(await withFolderLock(folder, async () => "taken", { clock: paperClock() })).toBe("taken");
      expect(await readdir(folder)).toEqual([]);
    }
    const folder = await temporaryFolder();
    await writeFile(join(folder, ".loftmark.lock"), "mine");
    const fault = await faultOf(withFolderLock(folder, async () => {}, { clock: paperClock() }));
    expect(fault).toMatchObject({
      code: "folder-busy",
      remedy: expect.stringContaining("Move .loftmark.lock"),
    });
    expect(await readFile(join(folder, ".loftmark.lock"), "utf8")).toBe("mine");
    expect(await readdir(folder)).toEqual([".loftmark.lock"]);
  });

  it("is cleared away on opening when its owner is gone, and only then", async () => {
    for (const [mark, stays] of [
      [GONE, false],
      [ownMark(), true],
      [FOREIGN, true],
      ["{", true],
    ] as const) {
      const folder = await temporaryFolder();
      await heldBy(folder, mark, 3600);
      await clearLeftLock(folder);
      expect(await readdir(folder)).toEqual(stays ? [".loftmark.lock"] : []);
    }
    await clearLeftLock(await temporaryFolder());
  });

  it("stops waiting when told to", async () => {
    const folder = await temporaryFolder();
    await heldBy(folder, FOREIGN);
    const stop = new AbortController();
    const clock = paperClock((count) => (count === 2 ? stop.abort() : undefined));
    const waiting = withFolderLock(folder, async () => {}, { clock, signal: stop.signal });
    await expect(waiting).rejects.toThrow("aborted");
    expect(await readdir(folder)).toEqual([".loftmark.lock"]);
  });
});

describe("withFolderLock between processes", () => {
  let program: Awaited<ReturnType<typeof bundleProgram>>;
  beforeAll(async () => {
    program = await bundleProgram("test/stress/count-under-lock.ts");
  });
  afterAll(() => program.remove());

  it("lets five processes count to 100 in one file, each number once, and leaves nothing", async () => {
    const folder = await temporaryFolder();
    await writeFile(join(folder, "count"), "000000000\n");
    const runs = Array.from({ length: 5 }, () => runNode(program.path, [folder, "20"]));
    const ends = await Promise.all(runs.map(({ end }) => end));
    expect(ends).toEqual(ends.map(() => ({ code: 0, signal: null, err: "" })));
    const told = runs.flatMap(({ lines }) => lines.map((line) => Number(line.replace("counted ", ""))));
    expect(told.sort((a, b) => a - b)).toEqual(Array.from({ length: 100 }, (_, index) => index + 1));
    expect(await readFile(join(folder, "count"), "latin1")).toBe("000000100\n");
    expect(await readdir(folder)).toEqual(["count"]);
  });

  it("counts rightly however often a process is killed with it, and never waits for a dead one", async () => {
    const outcome = await countWithKills(program.path, await temporaryFolder(), { seed: 8, kills: 12 });
    expect(lockFailures(outcome)).toEqual([]);
    expect(outcome.told.length).toBeGreaterThan(12);
  });
});
