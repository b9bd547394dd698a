import { expect, it } from "vitest";
import { createFinishPage, PATIENCE_MS } from "../../../src/main/host/finish-page.ts";
import type { Fault } from "../../../src/shared/quantity/notice.ts";

const FULL: Fault = { code: "disk-full", cause: "The disk is full.", remedy: "Make room." };

/** A page that answers by hand, a person who answers by hand, and a clock turned by hand. */
function bench(isThere = true) {
  const asked: number[] = [];
  const people: { fault: Fault | null; wish: (wish: "wait" | "leave") => void }[] = [];
  const timers: { run: () => void; ms: number }[] = [];
  const page = createFinishPage({
    ask(question) {
      asked.push(question);
      return isThere;
    },
    waitOrLeave: (fault) => new Promise((wish) => people.push({ fault, wish })),
    later(run, ms) {
      const timer = { run, ms };
      timers.push(timer);
      return () => {
        if (timers.includes(timer)) timers.splice(timers.indexOf(timer), 1);
      };
    },
  });
  const settle = () => new Promise((resolve) => setImmediate(resolve));
  return { page, asked, people, timers, settle };
}

it("goes on when the page has saved, and leaves no timer behind", async () => {
  const { page, asked, people, timers } = bench();
  const finish = page.finish();
  expect(timers.map(({ ms }) => ms)).toEqual([PATIENCE_MS]);
  page.answered(asked[0]!, null);
  expect(await finish).toBe("saved");
  expect([people, timers]).toEqual([[], []]);
});

it("asks nobody when there is no page", async () => {
  const { page, people } = bench(false);
  expect([await page.finish(), people]).toEqual(["saved", []]);
});

it("asks the person when the page is late, and again when they wait; an answer meanwhile settles it", async () => {
  const { page, asked, people, timers, settle } = bench();
  const finish = page.finish();
  timers[0]!.run();
  await settle();
  expect(people[0]!.fault).toBeNull();
  people[0]!.wish("wait");
  await settle();
  timers[0]!.run();
  await settle();
  page.answered(asked[0]!, null);
  people[1]!.wish("leave");
  expect(await finish).toBe("saved");
});

it("lets the person leave a page that does not answer", async () => {
  const { page, people, timers, settle } = bench();
  const finish = page.finish();
  timers[0]!.run();
  await settle();
  people[0]!.wish("leave");
  expect(await finish).toBe("left");
});

it("says why a save failed, and stays or leaves as the person says", async () => {
  for (const [wish, end] of [
    ["wait", "stay"],
    ["leave", "left"],
  ] as const) {
    const { page, asked, people, settle } = bench();
    const finish = page.finish();
    page.answered(asked[0]!, FULL);
    await settle();
    expect(people[0]!.fault).toEqual(FULL);
    people[0]!.wish(wish);
    expect(await finish).toBe(end);
  }
});

it("tells of a save that fails while the person waits for it", async () => {
  const { page, asked, people, timers, settle } = bench();
  const finish = page.finish();
  timers[0]!.run();
  await settle();
  page.answered(asked[0]!, FULL);
  people[0]!.wish("wait");
  await settle();
  expect(people[1]!.fault).toEqual(FULL);
  people[1]!.wish("wait");
  expect(await finish).toBe("stay");
});

it("is one question while it is being asked, and takes no answer to an earlier one", async () => {
  const { page, asked, people, settle } = bench();
  const [one, two] = [page.finish(), page.finish()];
  page.answered(asked[0]!, null);
  expect(await Promise.all([one, two])).toEqual(["saved", "saved"]);
  const three = page.finish();
  page.answered(asked[0]!, null);
  page.answered(asked[1]!, FULL);
  await settle();
  people[0]!.wish("wait");
  expect([asked.length, await three]).toEqual([2, "stay"]);
});
