import { expect, it } from "vitest";
import { shotWords } from "../../../src/main/cli/shot-words.ts";
import { makeWriteUp } from "../../../src/main/write-up/make-write-up.ts";
import { ResultsSchema } from "../../../src/shared/results/results-schema.ts";
import type { ResidualReading, ShotResult } from "../../../src/shared/results/shot-result.ts";
import { invented } from "../../shared/figures/fixture.ts";
import { inventedSession } from "./session-fixture.ts";

const words = "friction is 40 ± 3 N more than stated";
const reading: ResidualReading = {
  text: `Likely cause of the difference: ${words}.`,
  outcome: "named",
  causes: [{ code: "friction", words, size: { value: 40.2, u: 3.1 }, unit: "N" }],
  frames: 91,
  misfit: { none: 2.4, best: 1.02 },
  tried: [{ code: "friction", size: { value: 40.2, u: 3.1 }, unit: "N", better: 121.8 }],
};
const plain = invented();
const read: ShotResult = { ...plain, comparison: { ...plain.comparison!, reading } };
const session = inventedSession([read]);

it("the write-up says the likely cause under the verdict, and nothing where nothing was read", async () => {
  const report = async (results: readonly ShotResult[]) => {
    const files = await makeWriteUp({ session, results, facts: new Map(), madeAt: "2025-05-04T10:11:12Z" });
    return files.find(({ name }) => name === "report.html")!.text;
  };
  expect(await report([read])).toMatch(
    /<p class="verdict">[^<]*<\/p>\s*<p class="reading">Likely cause of the difference: friction is 40 ± 3 N more than stated\.<\/p>/,
  );
  expect(await report([plain])).not.toContain('class="reading"');
});

it("results.json holds it with its numbers", async () => {
  const files = await makeWriteUp({
    session,
    results: [read],
    facts: new Map(),
    madeAt: "2025-05-04T10:11:12Z",
  });
  const results = ResultsSchema.parse(JSON.parse(files.find(({ name }) => name === "results.json")!.text));
  expect(results.shots[0]!.reading).toEqual(reading);
});

it("the terminal says it after the verdict", () => {
  const lines = shotWords(session, read).split("\n");
  const at = lines.findIndex((line) => line.includes(plain.comparison!.verdict));
  expect(lines[at + 1]).toBe(`  ${reading.text}`);
  expect(shotWords(session, plain)).not.toContain("Likely cause");
});
