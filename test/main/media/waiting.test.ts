import { describe, expect, it } from "vitest";
import { createLimit } from "../../../src/main/media/limit-parallel.ts";
import { shareWork } from "../../../src/main/media/shared-work.ts";

/** Work that ends when told to, and notes that it began. */
function work(name: string, log: string[]) {
  let finish = () => {};
  const done = new Promise<void>((resolve) => {
    finish = resolve;
  });
  return {
    finish,
    start: async () => {
      log.push(name);
      await done;
    },
  };
}
const turn = () => new Promise((resolve) => setImmediate(resolve));

describe("createLimit", () => {
  it("runs two at once, then the urgent one, then the rest in order", async () => {
    const log: string[] = [];
    const limit = createLimit(2);
    const jobs = ["a", "b", "c", "d", "urgent"].map((name) => ({ name, ...work(name, log) }));
    const all = jobs.map((job) => limit(job.name === "urgent", undefined, job.start));
    await turn();
    expect(log).toEqual(["a", "b"]);
    for (const job of jobs) {
      job.finish();
      await turn();
    }
    await Promise.all(all);
    expect(log).toEqual(["a", "b", "urgent", "c", "d"]);
  });

  it("lets work that is cancelled while waiting never start, and goes on after a failure", async () => {
    const log: string[] = [];
    const limit = createLimit(1);
    const first = work("first", log);
    const controller = new AbortController();
    const running = limit(false, undefined, async () => {
      await first.start();
      throw new Error("broken");
    });
    const dropped = limit(false, controller.signal, work("dropped", log).start);
    const third = work("third", log);
    const last = limit(false, undefined, third.start);
    controller.abort();
    await expect(dropped).rejects.toMatchObject({ fault: { code: "cancelled" } });
    first.finish();
    await expect(running).rejects.toThrow("broken");
    third.finish();
    await last;
    expect(log).toEqual(["first", "third"]);
  });
});

describe("shareWork", () => {
  it("gives its result to all who wait, also when one of them leaves", async () => {
    let finish = (_: number) => {};
    const shared = shareWork(() => new Promise<number>((resolve) => (finish = resolve)));
    const controller = new AbortController();
    const leaving = shared.join(controller.signal);
    const staying = shared.join(undefined);
    controller.abort();
    await expect(leaving).rejects.toMatchObject({ fault: { code: "cancelled" } });
    expect(shared.abandoned).toBe(false);
    finish(7);
    expect(await staying).toBe(7);
    expect(shared.abandoned).toBe(false);
  });

  it("is stopped when the last one leaves", async () => {
    let stopped = false;
    const shared = shareWork(
      (signal) =>
        new Promise<void>((_, reject) => {
          signal.addEventListener("abort", () => {
            stopped = true;
            reject(new Error("stopped"));
          });
        }),
    );
    const controller = new AbortController();
    const only = shared.join(controller.signal);
    controller.abort();
    await expect(only).rejects.toMatchObject({ fault: { code: "cancelled" } });
    expect(stopped).toBe(true);
    expect(shared.abandoned).toBe(true);
  });

  it("gives a failure to all who wait and does not count as abandoned", async () => {
    const shared = shareWork(() => Promise.reject(new Error("broken")));
    const both = await Promise.allSettled([shared.join(undefined), shared.join(undefined)]);
    expect(both.map((one) => one.status)).toEqual(["rejected", "rejected"]);
    expect(shared.abandoned).toBe(false);
  });
});
