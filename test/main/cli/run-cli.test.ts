import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { sessionText } from "../../../src/main/store/session-text.ts";
import { resultsJsonSchema, truthJsonSchema } from "../../../src/shared/results/results-schema.ts";
import { sessionJsonSchema } from "../../../src/shared/session/json-schema.ts";
import { sampleSession } from "../../shared/session/sample-session.ts";
import { ofShot } from "../../support/notice-codes.ts";
import { oneOfEach } from "../../support/one-of-each.ts";
import { cli } from "../../support/run-cli.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

const VERBS = ["example", "inspect", "measure", "next-shot", "plan-camera", "predict", "schema", "serve"];

describe("runCli", () => {
  it("lists every verb with --help and exits 0", async () => {
    const { status, out, err } = await cli(["--help"]);
    expect([status, err]).toEqual([0, ""]);
    for (const verb of VERBS) expect(out).toMatch(new RegExp(`^  ${verb} `, "m"));
    expect(out).toContain("Exit status: 0 done, 1 could not");
  });

  it.each(VERBS)("explains %s with --help, whatever else is said, and does nothing", async (verb) => {
    const { status, out, err } = await cli([verb, "--help", "--json"]);
    expect([status, err]).toEqual([0, ""]);
    expect(out).toMatch(new RegExp(`^loftmark ${verb} .*\\[--json\\]\\n`));
  });

  it.each([
    ["nothing", [], "loftmark VERB"],
    ["an unknown verb", ["dance"], 'There is no verb "dance".'],
    ["an unknown option", ["measure", "--fast", "x"], "--fast"],
    ["a missing operand", ["measure"], '"measure" needs more: FOLDER [--out DIR] [--draw N].'],
    [
      "an operand too many",
      ["inspect", "a.mp4", "b.mp4"],
      '"inspect" does not know what to do with "b.mp4".',
    ],
    ["an option without its value", ["measure", "x", "--out"], "--out"],
    ["example without a place", ["example"], "Say where to: --out DIR."],
    [
      "a seed that is no whole number",
      ["example", "--out", "x", "--seed", "1.5"],
      '--seed takes a whole number from 0, not "1.5".',
    ],
    ["draws that are too few", ["measure", "x", "--draw", "10"], "--draw takes a whole number from 100 to"],
    ["draws that are no number", ["measure", "x", "--draw", "1e3"], 'not "1e3".'],
    ["an unknown schema", ["schema", "constructor"], 'There is no schema "constructor".'],
    [
      "a port that is none",
      ["serve", "x", "--port", "70000"],
      '--port takes a whole number from 0 to 65535, not "70000".',
    ],
    ["an empty port", ["serve", "x", "--port="], "--port takes"],
  ])("exits 2 for %s, with how it is used on standard error only", async (_, argv, wording) => {
    const { status, out, err } = await cli(argv);
    expect([status, out]).toEqual([2, ""]);
    expect(err).toContain(wording);
    expect(err).toContain("loftmark ");
  });

  it("exits 1 with cause and remedy, and the same as JSON on standard output with --json", async () => {
    const cwd = await temporaryFolder();
    const plain = await cli(["predict", "nowhere"], { cwd });
    expect(plain).toEqual({
      status: 1,
      out: "",
      err: `There is no folder "${join(cwd, "nowhere")}".\nGive the path of the folder that holds your clips.\n`,
    });
    const json = await cli(["predict", "nowhere", "--json"], { cwd });
    expect([json.status, json.err]).toEqual([1, plain.err]);
    expect(JSON.parse(json.out)).toEqual({
      error: {
        code: "no-such-folder",
        cause: `There is no folder "${join(cwd, "nowhere")}".`,
        remedy: "Give the path of the folder that holds your clips.",
      },
    });
  });
});

describe("schema", () => {
  it("prints the JSON Schema of the session, of results and of truth", async () => {
    for (const [argv, schema] of [
      [["schema"], sessionJsonSchema()],
      [["schema", "session"], sessionJsonSchema()],
      [["schema", "results", "--json"], resultsJsonSchema()],
      [["schema", "truth"], truthJsonSchema()],
    ] as const) {
      const { status, out, err } = await cli(argv);
      expect([status, err]).toEqual([0, ""]);
      expect(JSON.parse(out)).toEqual(JSON.parse(JSON.stringify(schema)));
    }
  });
});

describe("predict", () => {
  it("prints what the model says for each shot as value ± u, and refusals for the others", async () => {
    const folder = await temporaryFolder();
    await writeFile(join(folder, "loftmark.json"), sessionText(sampleSession()));
    const { status, out } = await cli(["predict", folder]);
    expect(status).toBe(0);
    expect(out).toMatch(/^[^\n]*compressed-air ram, with the values as stated\n\nfirst shot \(one\.mp4\)\n/);
    expect(out).toMatch(/first shot \(one\.mp4\)\n\s+predicted\n {2}Release speed +[\d.]+ ± [\d.]+ m\/s\n/);
    expect(out).toMatch(/second shot \(two\.mov\)\n {2}(note|refusal|warning|danger)\n/);
    const json = await cli(["predict", ".", "--json"], { cwd: folder });
    const { shots } = JSON.parse(json.out);
    expect(shots.map((shot: { id: string }) => shot.id)).toEqual(["shot-1", "shot-2"]);
    expect(shots[0].predicted.releaseSpeed).toMatchObject({ unit: "m/s", u: expect.any(Number) });
    expect(shots[1].predicted).toBeUndefined();
    expect(shots[1].notices.length).toBeGreaterThan(0);
  });

  it("says that a throw by hand has no model, for people and as JSON", async () => {
    const folder = await temporaryFolder();
    const thrown = oneOfEach({ ...sampleSession(), launcher: { kind: "no-model", name: "arm" } as const });
    await writeFile(join(folder, "loftmark.json"), sessionText(thrown));
    const { status, out, err } = await cli(["predict", folder, "--json"]);
    expect(status).toBe(1);
    expect(err).toContain("No model describes this launcher");
    expect(JSON.parse(out)).toMatchObject({
      shots: [{ launcher: "no-model", tuned: false }, { launcher: "no-model" }],
    });
    expect(JSON.parse(out).shots[0].notices[0]).toMatchObject({ level: "refusal", code: ofShot("no-model") });
  });

  it("exits 1 with the reasons when no shot can be predicted", async () => {
    const folder = await temporaryFolder();
    await writeFile(
      join(folder, "loftmark.json"),
      sessionText(oneOfEach({ ...sampleSession(), launcher: null })),
    );
    const { status, out, err } = await cli(["predict", folder]);
    expect([status, out]).toEqual([1, ""]);
    expect(err).toMatch(/^No shot could be predicted\.\nshot-1\n/);
  });

  it("says what to do in a folder without a session or without shots, and writes nothing", async () => {
    const folder = await temporaryFolder();
    expect((await cli(["predict", folder])).err).toContain("There is no loftmark.json");
    await writeFile(join(folder, "loftmark.json"), sessionText({ ...sampleSession(), shots: [] }));
    expect((await cli(["measure", folder])).err).toContain("has no shots");
  });
});
