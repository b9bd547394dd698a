import { mkdir, mkdtemp, readFile, realpath, rm, stat, truncate, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { createService } from "../../../src/main/service/create-service.ts";
import { type Client, createClient } from "../../../src/shared/api/client.ts";
import type { JournalStep } from "../../../src/shared/session/journal.ts";
import { type Patch, sameJson } from "../../../src/shared/session/patch.ts";
import type { Session } from "../../../src/shared/session/schema.ts";
import { bigSession } from "../../support/big-session.ts";
import { faultOf } from "../../support/fault-of.ts";
import { paperMedia } from "../../support/paper-media.ts";

const soon = { pause: () => new Promise((resolve) => setTimeout(resolve, 20)) };

function step(says: string, patch: Patch): JournalStep {
  const place = { shotId: null, frame: null, heading: null };
  return { kind: "do", says, place, at: "2026-05-01T10:00:00.000Z", patch };
}

describe("the service of a session of 40 MB", () => {
  let home: string; // for all of them: each goes on from the one before
  let folder: string;
  let service: ReturnType<typeof createService>;
  let client: Client;
  let session: Session;
  let revision = "";
  const bugs: unknown[] = [];

  beforeAll(async () => {
    home = await realpath(await mkdtemp(join(tmpdir(), "loftmark large ")));
    const cacheDir = join(home, "cache");
    folder = join(home, "field");
    await mkdir(folder);
    service = createService({ folder, cacheDir, media: paperMedia().media, log: (bug) => bugs.push(bug) });
    client = createClient((path, init) => service.fetch(new Request(`http://any${path}`, init)));
    session = bigSession(40e6, { marks: 12, notes: 9900 });
    session = { ...session, shots: session.shots.map((shot) => ({ ...shot, clip: null })) };
    expect(session.shots.length).toBeGreaterThan(3000);
  });
  afterAll(async () => {
    await service.close();
    await rm(home, { recursive: true, force: true, maxRetries: 5 });
    expect(bugs).toEqual([]);
  });

  it("saves it whole", async () => {
    ({ revision } = await client.saveSession({ session, baseRevision: "none" }));
    expect((await stat(join(folder, "loftmark.json"))).size).toBeGreaterThan(40e6);
  });

  it("opens it", async () => {
    const reply = await client.session();
    expect(reply.revision).toBe(revision);
    expect(sameJson(reply.session, session)).toBe(true);
  });

  it("saves one step, and what was not changed stays", async () => {
    const last = session.shots.length - 1;
    const patch: Patch = [{ at: ["shots", last, "marks", 7, "x"], set: 12.5 }];
    ({ revision } = await client.saveSteps({ steps: [step("Moved a mark", patch)], baseRevision: revision }));
    const reply = await client.session();
    expect(reply.session.shots[last]!.marks[7]!.x).toBe(12.5);
    expect(sameJson(reply.session.shots.slice(0, last), session.shots.slice(0, last))).toBe(true);
    session = reply.session;
  });

  it("draws a shot's inputs on the document that the window names, with the steps that are not saved", async () => {
    const shotId = session.shots[0]!.id;
    const steps = [step("Named it", [{ at: ["shots", 0, "name"], set: "Not saved" }])];
    const job = await client.runJob(
      { kind: "draw", document: { revision, steps }, shotId, draws: 100 },
      soon,
    );
    expect(job.drawn?.measurement?.drawn?.draws).toBe(100);
    expect(job.doing).toContain("Not saved");
    expect((await client.session()).revision).toBe(revision);
  });

  it("tunes the launcher on it", async () => {
    const document = { revision, steps: [] };
    const parameters = ["valve.conductance"];
    const [shot] = session.shots;
    const launcherId = shot!.launcherId!;
    const request = { document, launcherId, parameters, shotIds: [shot!.id], heldOutShotIds: [] };
    const job = await client.runJob({ kind: "tune", ...request }, soon);
    expect(job.tuned?.tuned.values).toHaveLength(1);
  });

  it("refuses work on a session that the folder does not have any more, and says what to do", async () => {
    const [shot] = session.shots;
    const stale = { document: { revision: "another", steps: [] }, shotId: shot!.id, draws: 100 };
    const fault = await faultOf(client.startJob({ kind: "draw", ...stale }));
    expect(fault).toMatchObject({
      code: "session-moved-on",
      remedy: expect.stringContaining("settle the conflict"),
    });
  });

  it("puts a state of the history in the place of a file that cannot be read", async () => {
    await service.close();
    await writeFile(join(folder, "loftmark.json"), "{ half of it");
    expect((await faultOf(client.session())).code).toBe("broken-session");
    const { keptAs } = await client.recover((await client.history()).moments[0]!.id);
    expect(await readFile(join(folder, keptAs), "utf8")).toBe("{ half of it");
    expect(sameJson((await client.session()).session, session)).toBe(true);
  });

  it("refuses a file that is longer than any text can be, and leaves it", async () => {
    await service.close();
    await truncate(join(folder, "loftmark.json"), 600e6);
    const fault = await faultOf(client.session());
    expect(fault).toMatchObject({ code: "session-too-large", cause: expect.stringContaining("600 MB") });
    expect((await stat(join(folder, "loftmark.json"))).size).toBe(600e6);
  });
});
