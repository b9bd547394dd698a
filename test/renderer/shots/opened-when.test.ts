import { expect, it } from "vitest";
import { openedWhen } from "../../../src/renderer/shots/opened-when.ts";

const now = new Date(2026, 2, 1, 0, 10); // 1 March, ten past midnight, in whatever zone the test runs
const at = (...parts: [number, number, number, number, number]) =>
  openedWhen(new Date(...parts).toISOString(), now);

it("says today and yesterday with the time, and the date alone before, across the end of a month", () => {
  expect(at(2026, 2, 1, 0, 5)).toBe("opened today at 00:05");
  expect(at(2026, 1, 28, 23, 59)).toBe("opened yesterday at 23:59");
  expect(at(2026, 1, 28, 0, 0)).toBe("opened yesterday at 00:00");
  expect(at(2026, 1, 27, 23, 59)).toBe("opened on 27 February 2026");
  expect(at(2025, 2, 1, 0, 5)).toBe("opened on 1 March 2025");
});
