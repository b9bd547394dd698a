import { describe, expect, it } from "vitest";
import type { MediaOptions } from "../../../src/main/media/media.ts";
import { createJobs } from "../../../src/main/service/jobs.ts";
import { FaultError } from "../../../src/shared/quantity/notice.ts";
import { faultOf } from "../../support/fault-of.ts";

/** Jobs on a clock that the test turns, and work that the test ends. */
function bench() {
  const bugs: unknown[] = [];
  let now = 1000;
  const jobs = createJobs(
    () => now,
    (bug) => bugs.push(bug),
  );
  const later = () => new Promise((resolve) => setImmediate(resolve));
  return {
    jobs,
    bugs,
    later,
    turn: (ms: number) => {
      now += ms;
    },
    async open() {
      let end: { done: (value: object) => void; fail: (error: unknown) => void } | undefined;
      let options: Required<MediaOptions> | undefined;
      const { id } = jobs.start("extract", "Starting", (given) => {
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
    expect(jobs.get(job.id)).toEqual({
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
      files: null,
    });
    job.done({ files: ["write-up/a.svg"] });
    await later();
    expect(jobs.get(job.id)).toMatchObject({
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
    expect(jobs.get(job.id)).toMatchObject({ doing: "a", fraction: 0.5, secondsLeft: null });
    turn(5900); // 6 s for three quarters: 2 s for the last
    job.onProgress({ fraction: 0.75, doing: "b" });
    expect(jobs.get(job.id).secondsLeft).toBeCloseTo(2, 9);
    const slow = await open();
    turn(9000);
    slow.onProgress({ fraction: 0.001, doing: "c" });
    expect(jobs.get(slow.id).secondsLeft).toBeNull();
  });

  it("never lets the fraction go back or over one", async () => {
    const { jobs, open } = bench();
    const job = await open();
    for (const fraction of [0.4, 0.2, 7]) job.onProgress({ fraction, doing: "x" });
    expect(jobs.get(job.id).fraction).toBe(1);
    const other = await open();
    for (const fraction of [0.4, 0.2]) other.onProgress({ fraction, doing: "x" });
    expect(jobs.get(other.id).fraction).toBe(0.4);
  });

  it("keeps the fault of work that failed, and words a bug without its stack", async () => {
    const { jobs, open, later, bugs } = bench();
    const [failed, buggy] = [await open(), await open()];
    failed.fail(new FaultError("cut-off", "It is cut off.", "Copy it again."));
    const bug = new TypeError("x is not a function");
    buggy.fail(bug);
    await later();
    expect(jobs.get(failed.id)).toMatchObject({
      state: "failed",
      error: { code: "cut-off", cause: "It is cut off.", remedy: "Copy it again." },
    });
    expect(jobs.get(buggy.id).error).toMatchObject({ code: "internal-error" });
    expect(JSON.stringify(jobs.get(buggy.id))).not.toContain("not a function");
    expect(bugs).toEqual([bug]);
  });

  it("cancels at once, stops the work, and drops what the work says afterwards", async () => {
    const { jobs, open, later, bugs } = bench();
    const job = await open();
    expect(jobs.cancel(job.id)).toMatchObject({ state: "cancelled", secondsLeft: null, error: null });
    expect(job.signal.aborted).toBe(true);
    job.onProgress({ fraction: 0.9, doing: "late" });
    job.fail(new Error("killed"));
    await later();
    expect(jobs.get(job.id)).toMatchObject({
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
    expect(jobs.cancel(job.id).state).toBe("done");
  });

  it("knows no other jobs and forgets the oldest ended ones", async () => {
    const { jobs, open, later } = bench();
    const fault = await faultOf((async () => jobs.get("none"))());
    expect(fault.code).toBe("no-such-job");
    const first = await open();
    const running = await open();
    first.done({});
    await later();
    for (let i = 0; i < 50; i++) (await open()).done({});
    await later();
    expect((await faultOf((async () => jobs.get(first.id))())).code).toBe("no-such-job");
    expect(jobs.get(running.id).state).toBe("running");
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
