import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { findWorkerFile } from "../../../src/main/jobs/process-workers.ts";
import { OutOfPatience } from "../../../src/main/jobs/worker-thread.ts";
import { createWorkers } from "../../../src/main/jobs/workers.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";

const session = exampleSession(1);
const [shot] = session.shots;
const measure = { kind: "measure", shotId: shot!.id, facts: null, draws: null } as const;
/** Minutes of work: long enough to be stopped in the middle on any machine. */
const endless = { ...measure, draws: 100_000 } as const;
const file = findWorkerFile(join(import.meta.dirname, "../../../src/main/jobs"));

/** A promise and what settles it from outside. */
function signalled() {
  let settle = () => {};
  const came = new Promise<void>((resolve) => {
    settle = resolve;
  });
  return { came, settle };
}

describe("createWorkers", () => {
  it("gives what the function itself gives, to the last bit", async () => {
    const workers = createWorkers({ file, most: 1 });
    expect(await workers.run(session, measure)).toEqual(measureShot(session, shot!.id, null));
  });

  it("works side by side, but on no more at the same time than it may", async () => {
    const workers = createWorkers({ file, most: 2 });
    const stop = new AbortController();
    const busy = [signalled(), signalled()];
    const two = busy.map(({ settle }) =>
      workers.run(session, endless, { signal: stop.signal, onFraction: settle }),
    );
    const started: string[] = [];
    const third = workers.run(session, measure, { onStart: () => started.push("third") });
    await Promise.all(busy.map(({ came }) => came));
    expect(started).toEqual([]);
    stop.abort();
    await Promise.all(two.map((one) => expect(one).rejects.toBe(stop.signal.reason)));
    await third;
    expect(started).toEqual(["third"]);
  });

  it("ends a thread in the middle of its work when the signal aborts, and works on with another", async () => {
    const workers = createWorkers({ file, most: 1 });
    const [stop, busy] = [new AbortController(), signalled()];
    const work = workers.run(session, endless, { signal: stop.signal, onFraction: busy.settle });
    const waiting = workers.run(session, measure);
    await busy.came;
    stop.abort(new Error("stopped by the person"));
    await expect(work).rejects.toThrow("stopped by the person");
    expect((await waiting).measurement).not.toBeNull();
  });

  it("keeps no process alive with a thread that was not asked yet, nor with one that has answered", async () => {
    const held = () => process.getActiveResourcesInfo().filter((kind) => kind === "MessagePort").length;
    const workers = createWorkers({ file, most: 1 });
    const before = held();
    const following = workers.follow(1);
    expect(held()).toBe(before);
    following.close();
    await workers.run(session, measure);
    expect(held()).toBe(before);
  });

  it("never starts work that is stopped while it waits", async () => {
    const workers = createWorkers({ file, most: 1 });
    const [first, second, busy] = [new AbortController(), new AbortController(), signalled()];
    const running = workers.run(session, endless, { signal: first.signal, onFraction: busy.settle });
    await busy.came;
    let started = false;
    const waiting = workers.run(session, measure, {
      signal: second.signal,
      onStart: () => {
        started = true;
      },
    });
    second.abort();
    await expect(waiting).rejects.toMatchObject({ fault: { code: "cancelled" } });
    expect(started).toBe(false);
    first.abort();
    await expect(running).rejects.toBe(first.signal.reason);
  });

  it("brings back what was thrown, with the stack of where that was", async () => {
    const workers = createWorkers({ file, most: 1 });
    const error = await workers.run(session, { ...measure, shotId: "none" }).catch((thrown) => thrown);
    expect(error.message).toBe('no shot "none"');
    expect(error.stack).toContain("heavy-worker");
    expect((await workers.run(session, measure)).measurement).not.toBeNull();
  });

  it("ends work that gives no sign of life for as long as it was given, and not work that does", async () => {
    const timers: { run: () => void; ms: number; off: boolean }[] = [];
    const workers = createWorkers({
      file,
      most: 1,
      later(run, ms) {
        const timer = { run, ms, off: false };
        timers.push(timer);
        return () => {
          timer.off = true;
        };
      },
    });
    const busy = signalled();
    const work = workers.run(session, endless, { patienceMs: 7000, onFraction: busy.settle });
    await busy.came;
    const patience = timers.filter(({ ms }) => ms === 7000);
    expect(patience.length).toBeGreaterThan(1); // each sign of life begins it again
    expect(patience.slice(0, -1).every(({ off }) => off)).toBe(true);
    patience.at(-1)!.run();
    const error = await work.catch((thrown) => thrown);
    expect(error).toBeInstanceOf(OutOfPatience);
    expect(error.afterMs).toBe(7000);
  });
});
