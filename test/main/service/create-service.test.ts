import { createHash } from "node:crypto";
import { mkdir, rename, rm, stat, symlink, truncate, utimes, writeFile } from "node:fs/promises";
import { basename, join } from "node:path";
import { describe, expect, it } from "vitest";
import { createService } from "../../../src/main/service/create-service.ts";
import { sessionText } from "../../../src/main/store/session-text.ts";
import { createClient, framePath } from "../../../src/shared/api/client.ts";
import { sampleSession } from "../../shared/session/sample-session.ts";
import { faultOf } from "../../support/fault-of.ts";
import { paperMedia } from "../../support/paper-media.ts";
import { snapshotOf, temporaryFolder } from "../../support/temporary-folder.ts";
import { withoutRights } from "../../support/without-rights.ts";

const digestOf = (text: string) => `sha256-${createHash("sha256").update(text).digest("hex")}`;

async function bench() {
  const [folder, cacheDir] = [await temporaryFolder(), await temporaryFolder()];
  const { media, calls, release } = paperMedia();
  const bugs: unknown[] = [];
  const start = () => createService({ folder, cacheDir, media, log: (bug) => bugs.push(bug) });
  const service = start();
  const ask = (path: string, init?: RequestInit) => service.fetch(new Request(`http://any${path}`, init));
  const client = createClient((path, init) => ask(path, init));
  const addClip = (name: string, frames = 12) => writeFile(join(folder, name), `clip of ${frames} frames`);
  return { folder, cacheDir, start, service, ask, client, calls, release, bugs, addClip };
}

const soon = { pause: () => new Promise((resolve) => setTimeout(resolve, 2)) };
const json = (method: string, body: unknown): RequestInit => ({
  method,
  headers: { "content-type": "application/json" },
  body: typeof body === "string" ? body : JSON.stringify(body),
});

async function errorOf(reply: Response) {
  return { status: reply.status, code: ((await reply.json()) as { error: { code: string } }).error.code };
}

describe("the session routes", () => {
  it("give a fresh session first, save it, and give what was saved", async () => {
    const { client, folder } = await bench();
    const first = await client.session();
    expect(first).toMatchObject({ existed: false, folderName: basename(folder) });
    const { revision } = await client.saveSession({ session: sampleSession(), baseRevision: first.revision });
    expect(await client.session()).toEqual({
      session: sampleSession(),
      before: null,
      revision,
      folderName: basename(folder),
      existed: true,
      access: "writable",
      readOnlyReason: null,
      truth: null,
    });
  });

  it("answer 409 session-changed to a save on an older base, and keep the file", async () => {
    const { client, ask, folder } = await bench();
    await client.saveSession({ session: sampleSession(), baseRevision: "none" });
    const before = await snapshotOf(folder);
    const late = { session: { ...sampleSession(), title: "late" }, baseRevision: "none" };
    expect(await errorOf(await ask("/api/session", json("PUT", late)))).toEqual({
      status: 409,
      code: "session-changed",
    });
    expect(await snapshotOf(folder)).toEqual(before);
  });

  it("refuse a body that is not JSON, has another type, does not fit or is too long, and write nothing", async () => {
    const { ask, folder } = await bench();
    const put = (body: string, type = "application/json") =>
      ask("/api/session", { method: "PUT", headers: { "content-type": type }, body }).then(errorOf);
    const good = JSON.stringify({ session: sampleSession(), baseRevision: "none" });
    expect(await put("{ half")).toEqual({ status: 400, code: "bad-request" });
    expect(await put(good, "text/plain")).toEqual({ status: 415, code: "not-json" });
    expect(await put(good, "application/jsonp")).toEqual({ status: 415, code: "not-json" });
    expect(await put(good.replace('"SI"', '"furlongs"'))).toEqual({ status: 400, code: "bad-request" });
    const million = new Uint8Array(1e6).fill(32);
    const endless = new ReadableStream<Uint8Array>({ pull: (to) => to.enqueue(million) });
    const type = { "content-type": "application/json" };
    const sent = { method: "PUT", headers: type, body: endless, duplex: "half" } as RequestInit;
    expect(await errorOf(await ask("/api/session", sent))).toEqual({ status: 413, code: "body-too-large" });
    const announced = { ...type, "content-length": String(200e6) };
    const long = { method: "PUT", headers: announced, body: "{}" };
    expect(await errorOf(await ask("/api/session", long))).toEqual({ status: 413, code: "body-too-large" });
    expect(await snapshotOf(folder)).toEqual({});
  });

  it("name in a refusal the field that does not fit", async () => {
    const { ask } = await bench();
    const session = JSON.parse(JSON.stringify(sampleSession()));
    session.airframes[0].massKg.value = -1;
    const reply = await ask("/api/session", json("PUT", { session, baseRevision: "none" }));
    expect(((await reply.json()) as { error: { cause: string } }).error.cause).toContain(
      "session.airframes[0].massKg.value: got -1, wanted a number above 0",
    );
  });

  it("give the fault of a folder that is not there, and work once it is back", async () => {
    const [parent, cacheDir] = [await temporaryFolder(), await temporaryFolder()];
    const service = createService({ folder: join(parent, "card"), cacheDir, media: paperMedia().media });
    const client = createClient((path, init) => service.fetch(new Request(`http://any${path}`, init)));
    expect((await faultOf(client.session())).code).toBe("no-such-folder");
    await mkdir(join(parent, "card"));
    expect((await client.session()).folderName).toBe("card");
  });
});

describe("the clip and frame routes", () => {
  it("list the clips and give one exact frame as JPEG bytes, inspecting the clip once", async () => {
    const { client, ask, calls, addClip } = await bench();
    await addClip("été 1.mp4");
    expect((await client.clips()).clips.map((clip) => clip.name)).toEqual(["été 1.mp4"]);
    const replies = await Promise.all([
      ask(framePath("été 1.mp4", 3, "full")),
      ask(framePath("été 1.mp4", 11, "half")),
    ]);
    expect(replies.map((reply) => [reply.status, reply.headers.get("content-type")])).toEqual([
      [200, "image/jpeg"],
      [200, "image/jpeg"],
    ]);
    expect(await Promise.all(replies.map((reply) => reply.text()))).toEqual([
      "été 1.mp4 3 full",
      "été 1.mp4 11 half",
    ]);
    expect(calls.filter((call) => call.startsWith("inspect"))).toEqual(["inspect été 1.mp4"]);
  });

  it("let the browser keep a frame for good only under the version of the clip's content", async () => {
    const { ask, client, addClip, folder } = await bench();
    await addClip("a.mp4");
    const [clip] = (await client.clips()).clips;
    const kept = await ask(framePath("a.mp4", 0, "full", clip));
    expect(kept.headers.get("cache-control")).toBe("private, max-age=31536000, immutable");
    const plain = await ask(framePath("a.mp4", 0, "full"));
    expect(plain.headers.get("cache-control")).toBe("private, no-cache");
    await utimes(join(folder, "a.mp4"), 1_700_000_000, 1_700_000_000);
    const stale = await ask(framePath("a.mp4", 0, "full", clip));
    expect(stale.headers.get("cache-control")).toBe("private, no-cache");
  });

  it("answer 304 without asking for the picture while the clip is the same", async () => {
    const { ask, addClip, calls } = await bench();
    await addClip("a.mp4");
    const etag = (await ask("/api/clips/a.mp4/frames/2")).headers.get("etag")!;
    const again = await ask("/api/clips/a.mp4/frames/2", { headers: { "if-none-match": etag } });
    expect([again.status, await again.text()]).toEqual([304, ""]);
    expect(calls.filter((call) => call.startsWith("frame"))).toHaveLength(1);
    const other = await ask("/api/clips/a.mp4/frames/3", { headers: { "if-none-match": etag } });
    expect(other.status).toBe(200);
  });

  it("inspect anew when the clip's content changed, and keep facts between runs", async () => {
    const { ask, start, addClip, calls } = await bench();
    await addClip("a.mp4", 5);
    expect((await ask("/api/clips/a.mp4/frames/4")).status).toBe(200);
    const later = start();
    const frame = (index: number) => later.fetch(new Request(`http://any/api/clips/a.mp4/frames/${index}`));
    expect((await frame(4)).status).toBe(200);
    expect(calls.filter((call) => call.startsWith("inspect"))).toHaveLength(1);
    await addClip("a.mp4", 10);
    expect((await frame(9)).status).toBe(200);
    expect(calls.filter((call) => call.startsWith("inspect"))).toHaveLength(2);
  });

  it("refuse clips and frames that are not there, paths, links out of the folder and files that are no video", async () => {
    const { ask, addClip, folder, calls } = await bench();
    const outside = await temporaryFolder();
    await writeFile(join(outside, "secret.mp4"), "clip of 3 frames");
    await symlink(join(outside, "secret.mp4"), join(folder, "out.mp4"));
    await addClip("a.mp4", 5);
    await writeFile(join(folder, "text.mp4"), "a letter");
    const at = async (path: string) => errorOf(await ask(`/api/clips/${path}`));
    expect(await at("none.mp4/frames/0")).toEqual({ status: 404, code: "no-such-clip" });
    expect(await at("a.mp4/frames/5")).toEqual({ status: 404, code: "no-such-frame" });
    expect(await at("..%2Fa.mp4/frames/0")).toEqual({ status: 400, code: "bad-clip-name" });
    expect(await at("..%5Ca.mp4/frames/0")).toEqual({ status: 400, code: "bad-clip-name" });
    expect(await at(`${encodeURIComponent(join(outside, "secret.mp4"))}/frames/0`)).toEqual({
      status: 400,
      code: "bad-clip-name",
    });
    expect(await at("out.mp4/frames/0")).toEqual({ status: 403, code: "outside-folder" });
    expect(await at("%E0%A4%A/frames/0")).toEqual({ status: 400, code: "bad-request" });
    expect(await at("a.mp4/frames/0?size=huge")).toEqual({ status: 400, code: "bad-request" });
    expect(await at("text.mp4/frames/0")).toEqual({ status: 422, code: "not-a-video" });
    expect(calls.some((call) => call.startsWith("frame") || call.includes("secret"))).toBe(false);
  });
});

describe("the job routes", () => {
  it("inspect a clip as a job and give its facts", async () => {
    const { client, addClip } = await bench();
    await addClip("a.mp4", 7);
    const job = await client.runJob({ kind: "inspect", clip: "a.mp4" }, soon);
    expect(job).toMatchObject({ state: "done", fraction: 1 });
    expect(job.facts?.pts).toHaveLength(7);
  });

  it("answer 201 with a running job, tell its progress, and end it when the work ends", async () => {
    const { client, ask, addClip, release, calls } = await bench();
    await addClip("a.mp4");
    const request = { kind: "extract", clip: "a.mp4", from: 2, to: 8, size: "half" };
    const started = await ask("/api/jobs", json("POST", request));
    expect(started.status).toBe(201);
    const { id } = (await started.json()) as { id: string };
    await expect.poll(() => calls).toContain("extract a.mp4 2-8 half");
    expect(await client.job(id)).toMatchObject({ state: "running", fraction: 0.25, doing: "Taking frames" });
    release();
    await expect.poll(async () => (await client.job(id)).state).toBe("done");
  });

  it("stop the work of a job that is deleted", async () => {
    const { client, addClip, calls } = await bench();
    await addClip("a.mp4");
    const { id } = await client.startJob({ kind: "extract", clip: "a.mp4", from: 0, to: 1, size: "full" });
    await expect.poll(() => calls).toContain("extract a.mp4 0-1 full");
    expect((await client.cancelJob(id)).state).toBe("cancelled");
    expect(calls).toContain("stopped");
    expect((await client.job(id)).state).toBe("cancelled");
  });

  it("fail with the fault of the clip, and refuse ranges that the clip does not have", async () => {
    const { client, ask, addClip, folder } = await bench();
    await addClip("a.mp4", 5);
    await writeFile(join(folder, "text.mp4"), "a letter");
    const fault = await faultOf(client.runJob({ kind: "inspect", clip: "text.mp4" }, soon));
    expect(fault).toEqual({
      code: "not-a-video",
      cause: "text.mp4 is no video.",
      remedy: "Pick another file.",
    });
    const range = (from: number, to: number) =>
      ({ kind: "extract", clip: "a.mp4", from, to, size: "full" }) as const;
    expect((await faultOf(client.runJob(range(0, 5), soon))).code).toBe("no-such-frame");
    expect(await errorOf(await ask("/api/jobs", json("POST", range(3, 2))))).toEqual({
      status: 400,
      code: "bad-request",
    });
    expect(await errorOf(await ask("/api/jobs", json("POST", { kind: "inspect", clip: "b.mp4" })))).toEqual({
      status: 404,
      code: "no-such-clip",
    });
    expect(await errorOf(await ask("/api/jobs", json("POST", { kind: "dance" })))).toEqual({
      status: 400,
      code: "bad-request",
    });
  });

  it("write the write-up into the folder, with a notice for the clip that is missing", async () => {
    const { client, addClip, folder } = await bench();
    await addClip("one.mp4");
    await client.saveSession({ session: sampleSession(), baseRevision: "none" });
    const job = await client.runJob({ kind: "write-up" }, soon);
    expect(job.files).toContain("write-up/results.json");
    const files = await snapshotOf(folder);
    const results = JSON.parse(files["write-up/results.json"]!) as {
      shots: { id: string; notices: { code: string }[] }[];
    };
    expect(results.shots.map((shot) => shot.id)).toEqual(["shot-1", "shot-2"]);
    expect(results.shots[1]!.notices[0]!.code).toBe("no-such-clip");
    expect(JSON.parse(files["loftmark.json"]!)).toEqual(JSON.parse(sessionText(sampleSession())));
  });

  it("stop every job on close", async () => {
    const { client, service, addClip, calls } = await bench();
    await addClip("a.mp4");
    await client.startJob({ kind: "extract", clip: "a.mp4", from: 0, to: 1, size: "full" });
    await expect.poll(() => calls).toContain("extract a.mp4 0-1 full");
    await service.close();
    expect(calls).toContain("stopped");
  });
});

describe("fingerprints", () => {
  it("come with the inspection of a clip that is soon read, and of a long one by a job of their own", async () => {
    const { client, addClip, folder, start } = await bench();
    const soonRead = "clip of 7 frames";
    await addClip("a.mp4", 7);
    await addClip("long.mp4", 7);
    await truncate(join(folder, "long.mp4"), 33 * 2 ** 20);
    const inspect = (clip: string) => client.runJob({ kind: "inspect", clip }, soon);
    expect((await inspect("a.mp4")).fingerprint).toBe(digestOf(soonRead));
    await addClip("a.mp4", 8);
    expect((await inspect("a.mp4")).fingerprint).toBe(digestOf("clip of 8 frames"));
    expect((await inspect("long.mp4")).fingerprint).toBeNull();
    const { fingerprint } = await client.runJob({ kind: "fingerprint", clip: "long.mp4" }, soon);
    expect((await inspect("long.mp4")).fingerprint).toBe(fingerprint);
    const later = start();
    const again = createClient((path, init) => later.fetch(new Request(`http://any${path}`, init)));
    expect((await again.runJob({ kind: "inspect", clip: "long.mp4" }, soon)).fingerprint).toBe(fingerprint);
  });

  it("keep a clip that was swapped out of the write-up, saying so of its shots only", async () => {
    const { client, addClip, folder } = await bench();
    await addClip("one.mp4", 12);
    const session = {
      ...sampleSession(),
      clips: [{ name: "one.mp4", bytes: 17, fingerprint: `sha256-${"0".repeat(64)}` }],
    };
    await client.saveSession({ session, baseRevision: "none" });
    await client.runJob({ kind: "write-up" }, soon);
    const results = JSON.parse((await snapshotOf(folder))["write-up/results.json"]!) as {
      shots: { notices: { code: string }[] }[];
    };
    expect(results.shots.map(({ notices }) => notices[0]!.code)).toEqual(["another-clip", "no-such-clip"]);
  });
});

describe("the differences job", () => {
  it("gives how each frame differs from the one before, the first null", async () => {
    const { client, addClip, calls } = await bench();
    await addClip("a.mp4", 4);
    const job = await client.runJob({ kind: "differences", clip: "a.mp4" }, soon);
    expect(job.differences).toEqual([null, 11, 12, 13]);
    expect(calls).toEqual(["inspect a.mp4", "differences a.mp4"]);
  });
});

describe("shared inspections", () => {
  it("a frame asked for while the clip is being inspected waits for that inspection", async () => {
    const { client, ask, addClip, calls } = await bench();
    await addClip("a.mp4");
    const [job, reply] = await Promise.all([
      client.runJob({ kind: "inspect", clip: "a.mp4" }, soon),
      ask("/api/clips/a.mp4/frames/3"),
    ]);
    expect([job.state, reply.status]).toEqual(["done", 200]);
    expect(calls).toEqual(["inspect a.mp4", "frame a.mp4 3 full"]);
  });

  it("goes on for whoever still waits when one asker has stopped", async () => {
    const { client, ask, addClip } = await bench();
    await addClip("a.mp4");
    const reply = ask("/api/clips/a.mp4/frames/3");
    const job = await client.startJob({ kind: "inspect", clip: "a.mp4" });
    await client.cancelJob(job.id);
    expect((await reply).status).toBe(200);
  });
});

describe("a folder that is gone while it is open", () => {
  const everyRoute = (ask: (path: string, init?: RequestInit) => Promise<Response>) =>
    Promise.all(
      [
        ask("/api/session"),
        ask("/api/session", json("PUT", { session: sampleSession(), baseRevision: "none" })),
        ask("/api/clips"),
        ask("/api/clips/a.mp4/frames/0"),
        ...["inspect", "differences"].map((kind) => ask("/api/jobs", json("POST", { kind, clip: "a.mp4" }))),
        ask("/api/jobs", json("POST", { kind: "write-up" })),
      ].map(async (reply) => errorOf(await reply)),
    );

  it("is said by every route, with what to do, and nothing is made in its place", async () => {
    const { ask, client, folder, addClip } = await bench();
    await addClip("a.mp4");
    await client.session();
    expect((await ask("/api/clips/a.mp4/frames/0")).status).toBe(200); // its facts are known from now on
    await rm(folder, { recursive: true });
    for (const error of await everyRoute(ask)) expect(error).toEqual({ status: 410, code: "folder-gone" });
    expect((await faultOf(client.session())).remedy).toContain("card was taken out");
    await expect(stat(folder)).rejects.toThrow("ENOENT");
  });

  it("is said also when another folder is at its place, which is left as it is", async () => {
    const { ask, client, folder, addClip, start } = await bench();
    await addClip("a.mp4");
    await client.saveSession({ session: sampleSession(), baseRevision: "none" });
    await rm(folder, { recursive: true });
    await mkdir(folder);
    await writeFile(join(folder, "a.mp4"), "clip of 3 frames");
    for (const error of await everyRoute(ask)) expect(error).toEqual({ status: 410, code: "folder-gone" });
    expect((await faultOf(client.clips())).cause).toContain("another one is in its place");
    expect(Object.keys(await snapshotOf(folder))).toEqual(["a.mp4"]);
    // Opened again, it is what it is: an empty one.
    const again = createClient((path, init) => start().fetch(new Request(`http://any${path}`, init)));
    expect((await again.session()).existed).toBe(false);
  });

  it("is served on when it comes back", async () => {
    const { client, folder } = await bench();
    await client.saveSession({ session: sampleSession(), baseRevision: "none" });
    await rename(folder, `${folder} moved`);
    expect((await faultOf(client.session())).code).toBe("folder-gone");
    await rename(`${folder} moved`, folder);
    expect((await client.session()).session).toEqual(sampleSession());
  });

  it("is why a job fails that was under way", async () => {
    const [folder, cacheDir] = [await temporaryFolder(), await temporaryFolder()];
    await writeFile(join(folder, "a.mp4"), "clip of 12 frames");
    const media = {
      ...paperMedia().media,
      async extract(): Promise<never> {
        await rm(folder, { recursive: true });
        throw new Error("what a program says whose file went");
      },
    };
    const service = createService({ folder, cacheDir, media });
    const client = createClient((path, init) => service.fetch(new Request(`http://any${path}`, init)));
    const job = { kind: "extract", clip: "a.mp4", from: 0, to: 3, size: "full" } as const;
    expect((await faultOf(client.runJob(job, soon))).code).toBe("folder-gone");
  });
});

describe("a folder that is read-only", () => {
  it("is opened for reading and says so; saving and writing up say it with what to do", async () => {
    const { ask, client, folder, addClip } = await bench();
    await addClip("a.mp4");
    await writeFile(join(folder, "loftmark.json"), sessionText(sampleSession()));
    await withoutRights(folder, async () => {
      const opened = await client.session();
      expect(opened).toMatchObject({
        session: sampleSession(),
        access: "read-only",
        readOnlyReason: "you have no right to it",
      });
      expect((await client.clips()).clips).toHaveLength(1);
      const session = { ...sampleSession(), title: "new" };
      const save = json("PUT", { session, baseRevision: opened.revision });
      expect(await errorOf(await ask("/api/session", save))).toEqual({
        status: 403,
        code: "folder-read-only",
      });
      const fault = await faultOf(client.startJob({ kind: "write-up" }));
      expect(fault).toMatchObject({ code: "folder-read-only", remedy: expect.stringContaining("--out DIR") });
      expect(fault.cause).toBe(`The folder "${basename(folder)}" is read-only: you have no right to it.`);
    });
    expect(await snapshotOf(folder)).toEqual({
      "a.mp4": "clip of 12 frames",
      "loftmark.json": sessionText(sampleSession()),
    });
  });
});

describe("everything else", () => {
  it.each([
    ["GET", "/api", 404, "no-such-route"],
    ["GET", "/api/", 404, "no-such-route"],
    ["GET", "/api/session/x", 404, "no-such-route"],
    ["GET", "/api/clips/a/b/frames/0", 404, "no-such-route"],
    ["GET", "/api/clips/a.mp4/frames/-1", 404, "no-such-route"],
    ["GET", "/api/clips/a.mp4/frames/1.5", 404, "no-such-route"],
    ["POST", "/api/session", 405, "method-not-allowed"],
    ["DELETE", "/api/clips", 405, "method-not-allowed"],
    ["PUT", "/api/jobs", 405, "method-not-allowed"],
    ["GET", "/api/jobs/none", 404, "no-such-job"],
    ["DELETE", "/api/jobs/none", 404, "no-such-job"],
    ["POST", "/api/jobs/none/hold", 404, "no-such-job"],
  ])("%s %s is answered %i %s", async (method, path, status, code) => {
    const { ask } = await bench();
    expect(await errorOf(await ask(path, { method }))).toEqual({ status, code });
  });

  it("says which methods there are", async () => {
    const { ask } = await bench();
    expect((await ask("/api/session", { method: "PATCH" })).headers.get("allow")).toBe("GET, PUT");
  });

  it("bounds what a fault quotes, on one line without characters that cannot be seen", async () => {
    const { ask } = await bench();
    const long = `/api/${"%0A%1B%E2%80%AEx ".repeat(500)}`;
    const { error } = (await (await ask(long)).json()) as { error: { cause: string } };
    expect(error.cause.length).toBeLessThanOrEqual(600);
    expect((await (await ask("/api/clips", json("PUT\u0042RN", "{}"))).text()).length).toBeLessThan(2000);
    const named = await ask(`/api/clips/${encodeURIComponent("a\u001b[31m\n\u202eb")}/frames/0`);
    expect(((await named.json()) as { error: { cause: string } }).error.cause).toContain('"a [31m b"');
  });

  it("hides a bug behind a plain sentence and reports it with its stack", async () => {
    const [folder, cacheDir] = [await temporaryFolder(), await temporaryFolder()];
    await writeFile(join(folder, "a.mp4"), "x");
    const bug = new TypeError("deep inside");
    const bugs: unknown[] = [];
    const media = {
      ...paperMedia().media,
      inspect: async () => {
        throw bug;
      },
    };
    const service = createService({ folder, cacheDir, media, log: (error) => bugs.push(error) });
    const reply = await service.fetch(new Request("http://any/api/clips/a.mp4/frames/0"));
    const text = await reply.text();
    expect([reply.status, text.includes("deep inside"), bugs]).toEqual([500, false, [bug]]);
  });
});
