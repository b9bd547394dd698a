import { expect, it } from "vitest";
import { shotWords } from "../../../src/main/cli/shot-words.ts";
import { resultsOf } from "../../../src/main/write-up/results-json.ts";
import { ResultsSchema } from "../../../src/shared/results/results-schema.ts";
import type { ShotResult } from "../../../src/shared/results/shot-result.ts";
import type { Session } from "../../../src/shared/session/schema.ts";
import { invented } from "../../shared/figures/fixture.ts";
import { inventedSession } from "./session-fixture.ts";

const plain = invented();
const drop = { kind: "drop", shotId: plain.shotId, captureRateHz: { value: 479.32, u: 0.46 } } as const;
const checked: ShotResult = {
  ...plain,
  measurement: {
    ...plain.measurement!,
    captureRateHz: { value: 479.51, u: 0.42 },
    clockChecks: [drop],
    flightBend: { value: 1.02, u: 0.03 },
  },
};

/** The session with the checks in use, or not. */
function session(useChecks: boolean): Session {
  const of = inventedSession([checked]);
  const clock = { kind: "capture-rate", captureRateHz: { value: 480, u: 1 }, useChecks } as const;
  return { ...of, shots: of.shots.map((shot) => ({ ...shot, clock })) };
}

it("the terminal names the capture rate in use, whether checks are in it, what each check implies and the bend", () => {
  const name = session(true).shots[0]!.name;
  const words = shotWords(session(true), checked);
  expect(words).toContain("Capture rate 479.5 ± 0.4 frames/s, the stated rate and its checks together.");
  expect(words).toContain(`A drop in ${name} implies 479.3 ± 0.5 frames/s.`);
  expect(words.replaceAll(/\s+/g, " ")).toContain(
    "After release the path bends 1.02 ± 0.03 times as much as by gravity",
  );
  expect(shotWords(session(false), checked)).toContain("Capture rate 479.5 ± 0.4 frames/s, as stated.");
});

it("results.json holds the three with their numbers, and none of them where they are not known", () => {
  const [shot] = ResultsSchema.parse(resultsOf(session(true), [checked], "2025-05-04T10:11:12Z")).shots;
  expect(shot).toMatchObject({
    captureRateHz: { value: 479.51, u: 0.42 },
    clockChecks: [drop],
    flightBend: { value: 1.02, u: 0.03 },
  });
  const { flightBend: _flightBend, ...rest } = checked.measurement!;
  const bare = { ...checked, measurement: { ...rest, captureRateHz: null, clockChecks: [] } };
  const [without] = resultsOf(session(true), [bare], "2025-05-04T10:11:12Z").shots;
  for (const key of ["captureRateHz", "clockChecks", "flightBend"]) expect(without).not.toHaveProperty(key);
});
