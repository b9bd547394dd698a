import { describe, expect, it } from "vitest";
import type { MediaOptions } from "../../../src/main/media/media.ts";
import { createJobs } from "../../../src/main/service/jobs.ts";
import type { KeptResults } from "../../../src/main/service/kept-results.ts";
import type { JobAbout, JobReply } from "../../../src/shared/api/job-contract.ts";
import { FaultError } from "../../../src/shared/quantity/notice.ts";
import { faultOf } from "../../support/fault-of.ts";

/** Results kept in memory; `broken` makes keeping fail, as on a full disk. */
function memory(waiting: readonly JobReply[] = []) {
  const kept = new Map(waiting.map((reply) => [reply.id, reply]));
  const disk = { broken: false };
  const results: KeptResults = {
    list: async () => [...kept.values()],
    async keep(reply) {
      if (disk.broken) throw new Error("the disk is full");
      kept.set(reply.id, reply);
    },
    has: async (id) => kept.has(id),
    async remove(id) {
      kept.delete(id);
    },
  };
  return { kept, disk, results };
}

/** Jobs on a clock that the test turns, and work that the test ends. */
function bench(waiting: readonly JobReply[] = []) {
  const bugs: unknown[] = [];
  let now = 1000;
  const { kept, disk, results } = memory(waiting);
  const jobs = createJobs({
    nowMs: () => now,
    nowIso: () => new Date(now).toISOString(),
    log: (bug) => bugs.push(bug),
    kept: results,
    waiting,
  });
  const later = () => new Promise((resolve) => setImmediate(resolve));
  return {
    jobs,
    bugs,
    kept,
    disk,
    later,
    turn: (ms: number) => {
      now += ms;
    },
    async open(about: JobAbout | null = null, window = "") {
      let end: { done: (value: object) => void; fail: (error: unknown) => void } | undefined;
      let options: Required<MediaOptions> | undefined;
      const { id } = jobs.start({ kind: "extract", doing: "Starting", about, window }, (given) => {
        options = given;
        return new Promise((done, fail) => {
          end = { done, fail };
        });
      });
      await later();
      return { id, ...end!, ...options! };
    },
  };
}

describe("createJobs", () => {
  it("starts a job as running, and ends it as done with what the work gave", async () => {
    const { jobs, open, later } = bench();
    const job = await open();
    expect(jobs.get(job.id, "")).toEqual({
      id: job.id,
      kind: "extract",
      state: "running",
      doing: "Starting",
      fraction: 0,
      secondsLeft: null,
      error: null,
      facts: null,
      differences: null,
      followed: null,
      tuned: null,
      drawn: null,
      files: null,
      about: null,
      endedAt: null,
      heldElsewhere: false,
      taken: false,
    });
    job.done({ files: ["write-up/a.svg"] });
    await later();
    expect(jobs.get(job.id, "")).toMatchObject({
      state: "done",
      fraction: 1,
      secondsLeft: 0,
      files: ["write-up/a.svg"],
    });
  });

  it("tells time left from the mean pace so far, and only once that is no guesswork", async () => {
    const { jobs, open, turn } = bench();
    const job = await open();
    turn(100);
    job.onProgress({ fraction: 0.5, doing: "a" });
    expect(jobs.get(job.id, "")).toMatchObject({ doing: "a", fraction: 0.5, secondsLeft: null });
    turn(5900); // 6 s for three quarters: 2 s for the last
    job.onProgress({ fraction: 0.75, doing: "b" });
    expect(jobs.get(job.id, "").secondsLeft).toBeCloseTo(2, 9);
    const slow = await open();
    turn(9000);
    slow.onProgress({ fraction: 0.001, doing: "c" });
    expect(jobs.get(slow.id, "").secondsLeft).toBeNull();
  });

  it("never lets the fraction go back or over one", async () => {
    const { jobs, open } = bench();
    const job = await open();
    for (const fraction of [0.4, 0.2, 7]) job.onProgress({ fraction, doing: "x" });
    expect(jobs.get(job.id, "").fraction).toBe(1);
    const other = await open();
    for (const fraction of [0.4, 0.2]) other.onProgress({ fraction, doing: "x" });
    expect(jobs.get(other.id, "").fraction).toBe(0.4);
  });

  it("keeps the fault of work that failed, and words a bug without its stack", async () => {
    const { jobs, open, later, bugs } = bench();
    const [failed, buggy] = [await open(), await open()];
    failed.fail(new FaultError("clip-cut-off", "It is cut off.", "Copy it again."));
    const bug = new TypeError("x is not a function");
    buggy.fail(bug);
    await later();
    expect(jobs.get(failed.id, "")).toMatchObject({
      state: "failed",
      error: { code: "clip-cut-off", cause: "It is cut off.", remedy: "Copy it again." },
    });
    expect(jobs.get(buggy.id, "").error).toMatchObject({ code: "internal-error" });
    expect(JSON.stringify(jobs.get(buggy.id, ""))).not.toContain("not a function");
    expect(bugs).toEqual([bug]);
  });

  it("cancels at once, stops the work, and drops what the work says afterwards", async () => {
    const { jobs, open, later, bugs } = bench();
    const job = await open();
    expect(await jobs.cancel(job.id, "")).toMatchObject({
      state: "cancelled",
      secondsLeft: null,
      error: null,
    });
    expect(job.signal.aborted).toBe(true);
    job.onProgress({ fraction: 0.9, doing: "late" });
    job.fail(new Error("killed"));
    await later();
    expect(jobs.get(job.id, "")).toMatchObject({
      state: "cancelled",
      doing: "Starting",
      fraction: 0,
      error: null,
    });
    expect(bugs).toEqual([]);
  });

  it("leaves a job that has ended as it ended", async () => {
    const { jobs, open, later } = bench();
    const job = await open();
    job.done({});
    await later();
    expect((await jobs.cancel(job.id, "")).state).toBe("done");
  });

  it("knows no other jobs and forgets the oldest ended ones", async () => {
    const { jobs, open, later } = bench();
    const fault = await faultOf((async () => jobs.get("none", ""))());
    expect(fault.code).toBe("no-such-job");
    const first = await open();
    const running = await open();
    first.done({});
    await later();
    for (let i = 0; i < 50; i++) (await open()).done({});
    await later();
    expect((await faultOf((async () => jobs.get(first.id, ""))())).code).toBe("no-such-job");
    expect(jobs.get(running.id, "").state).toBe("running");
  });

  it("waits on close until stopped work has let go", async () => {
    const { jobs, open, later } = bench();
    const job = await open();
    let closed = false;
    const closing = jobs.close().then(() => {
      closed = true;
    });
    await later();
    expect([job.signal.aborted, closed]).toEqual([true, false]);
    job.fail(new Error("stopped"));
    await closing;
    expect(closed).toBe(true);
  });
});

describe("the result of a job that belongs to something", () => {
  const about: JobAbout = { kind: "write-up" };

  it("waits, written down, until it is taken; others are not listed at all", async () => {
    const { jobs, kept, open, later } = bench();
    const [job, other] = [await open(about, "a"), await open(null, "a")];
    expect(jobs.list("b").map(({ id }) => id)).toEqual([job.id]);
    job.done({ files: ["write-up/a.svg"] });
    other.done({});
    await later();
    expect(kept.get(job.id)).toMatchObject({ state: "done", files: ["write-up/a.svg"], taken: false });
    expect(jobs.list("b").map(({ id }) => id)).toEqual([job.id]);
    expect(await jobs.cancel(job.id, "a")).toMatchObject({ state: "done", taken: true });
    expect([jobs.list("b"), kept.size]).toEqual([[], 0]);
  });

  it("waits when it is a failure too, but not when a person stopped it", async () => {
    const { jobs, kept, open, later } = bench();
    const [failed, stopped] = [await open(about), await open(about)];
    failed.fail(new FaultError("clip-cut-off", "It is cut off.", "Copy it again."));
    await jobs.cancel(stopped.id, "");
    stopped.done({ files: [] });
    await later();
    expect(jobs.list("").map(({ id, error }) => [id, error?.code])).toEqual([[failed.id, "clip-cut-off"]]);
    expect([...kept.keys()]).toEqual([failed.id]);
  });

  it("is there again after the host has ended", async () => {
    const first = bench();
    const job = await first.open(about, "a");
    job.done({ files: ["a"] });
    await first.later();
    const second = bench([...first.kept.values()]);
    expect(second.jobs.list("b")).toMatchObject([{ id: job.id, state: "done", heldElsewhere: false }]);
    expect(await second.jobs.hold(job.id, "b")).toMatchObject({ files: ["a"], taken: false });
  });

  it("is for one window: the one that holds it, as long as that is heard of", async () => {
    const { jobs, open, later, turn } = bench();
    const job = await open(about, "a");
    expect((await jobs.hold(job.id, "b")).heldElsewhere).toBe(true);
    job.done({});
    await later();
    turn(4000);
    expect(jobs.get(job.id, "a").heldElsewhere).toBe(false); // and so it is heard of
    turn(4000);
    expect((await jobs.hold(job.id, "b")).heldElsewhere).toBe(true);
    turn(1001);
    expect((await jobs.hold(job.id, "b")).heldElsewhere).toBe(false);
    expect(jobs.get(job.id, "a").heldElsewhere).toBe(true);
  });

  it("counts as taken when another host took it from the disk", async () => {
    const { jobs, kept, open, later } = bench();
    const job = await open(about, "a");
    job.done({});
    await later();
    kept.clear();
    expect(await jobs.hold(job.id, "a")).toMatchObject({ taken: true });
  });

  it("waits in memory when it cannot be written down, and that is told", async () => {
    const { jobs, disk, bugs, open, later } = bench();
    disk.broken = true;
    const job = await open(about, "a");
    job.done({ files: ["a"] });
    await later();
    expect(bugs).toEqual([new Error("the disk is full")]);
    expect(await jobs.hold(job.id, "a")).toMatchObject({ files: ["a"], taken: false });
  });
});
