import { chmod, mkdir, readdir, rm, stat, utimes, writeFile } from "node:fs/promises";
import { basename, join } from "node:path";
import { describe, expect, it } from "vitest";
import { createService } from "../../../src/main/service/create-service.ts";
import { createIncomingClips } from "../../../src/main/service/incoming-clips.ts";
import { createClient } from "../../../src/shared/api/client.ts";
import type { JobReply, JobRequest } from "../../../src/shared/api/job-contract.ts";
import { faultOf } from "../../support/fault-of.ts";
import { paperMedia } from "../../support/paper-media.ts";
import { snapshotOf, temporaryFolder } from "../../support/temporary-folder.ts";
import { webBench } from "../../support/web-bench.ts";
import { withoutRights } from "../../support/without-rights.ts";

const soon = { pause: () => new Promise((resolve) => setTimeout(resolve, 2)) };
const BYTES = { "content-type": "application/octet-stream" };
const FILMED_MS = Date.UTC(2026, 4, 3, 10, 20, 30);

/** A service of a folder with one clip, and a place elsewhere with two. */
async function bench() {
  const [folder, elsewhere, cacheDir] = [
    await temporaryFolder(),
    await temporaryFolder(),
    await temporaryFolder(),
  ];
  await writeFile(join(folder, "a.mp4"), "clip a");
  await writeFile(join(elsewhere, "a.mp4"), "another a");
  await writeFile(join(elsewhere, "b.mp4"), "clip b");
  await utimes(join(elsewhere, "b.mp4"), FILMED_MS / 1000, FILMED_MS / 1000);
  const service = createService({ folder, cacheDir, media: paperMedia().media, log: () => {} });
  const ask = (path: string, init?: RequestInit) => service.fetch(new Request(`http://any${path}`, init));
  const client = createClient((path, init) => ask(path, init));
  const run = (request: JobRequest) => client.runJob(request, soon);
  const send = (id: string, body: RequestInit["body"], headers: Record<string, string> = BYTES) =>
    ask(`/api/jobs/${id}/content`, { method: "PUT", headers, body, duplex: "half" } as RequestInit);
  /** The job once it has ended, whatever came of it. */
  async function ended(id: string): Promise<JobReply> {
    for (;;) {
      const job = await client.job(id);
      if (job.state !== "running") return job;
      await soon.pause();
    }
  }
  /** Has a clip received: the job, and then its bytes. */
  async function receive(name: string, text: string, bytes = text.length) {
    const job = await client.startJob({ kind: "receive-clip", name, bytes, modifiedMs: FILMED_MS });
    const sent = await send(job.id, text);
    return { sent, job: await ended(job.id) };
  }
  return { folder, elsewhere, service, client, run, send, ended, receive };
}

describe("copy-clip", () => {
  it("copies a clip with its time, names the folder's own, and puts another content beside it", async () => {
    const { folder, elsewhere, run } = await bench();
    const added = async (path: string) => (await run({ kind: "copy-clip", path })).added;
    expect(await added(join(elsewhere, "b.mp4"))).toEqual({ name: "b.mp4", copied: true });
    expect(await added(join(elsewhere, "b.mp4"))).toEqual({ name: "b.mp4", copied: false });
    expect(await added(join(folder, "a.mp4"))).toEqual({ name: "a.mp4", copied: false });
    expect(await added(join(elsewhere, "a.mp4"))).toEqual({ name: "a (2).mp4", copied: true });
    expect(await snapshotOf(folder)).toEqual({
      "a.mp4": "clip a",
      "a (2).mp4": "another a",
      "b.mp4": "clip b",
    });
    expect((await stat(join(folder, "b.mp4"))).mtimeMs).toBe(FILMED_MS);
    expect(await snapshotOf(elsewhere)).toEqual({ "a.mp4": "another a", "b.mp4": "clip b" });
  });

  it("copies a clip out of a folder inside the open one: shots are made of clips directly in it", async () => {
    const { folder, run } = await bench();
    await mkdir(join(folder, "card"));
    await writeFile(join(folder, "card", "c.mp4"), "clip c");
    const { added } = await run({ kind: "copy-clip", path: join(folder, "card", "c.mp4") });
    expect(added).toEqual({ name: "c.mp4", copied: true });
  });

  it("refuses what is gone, a folder, another kind of file and a path that is not whole", async () => {
    const { folder, elsewhere, run } = await bench();
    await mkdir(join(elsewhere, "d.mp4"));
    await writeFile(join(elsewhere, "secret.txt"), "not a clip");
    const before = await snapshotOf(folder);
    const code = async (path: string) => (await faultOf(run({ kind: "copy-clip", path }))).code;
    expect(await code(join(elsewhere, "gone.mp4"))).toBe("no-such-file");
    expect(await code(join(elsewhere, "d.mp4"))).toBe("no-such-file");
    expect(await code(join(elsewhere, "secret.txt"))).toBe("not-a-video");
    expect(await code("b.mp4")).toBe("bad-request");
    expect(await snapshotOf(folder)).toEqual(before);
  });

  it("names the clips of a read-only folder, and says of others that nothing can be copied into it", async () => {
    const { folder, elsewhere, run } = await bench();
    await chmod(elsewhere, 0o755); // readable by whoever the test becomes
    await withoutRights(folder, async () => {
      const own = await run({ kind: "copy-clip", path: join(folder, "a.mp4") });
      expect(own.added).toEqual({ name: "a.mp4", copied: false });
      const fault = await faultOf(run({ kind: "copy-clip", path: join(elsewhere, "b.mp4") }));
      expect(fault.code).toBe("folder-read-only");
    });
  });
});

describe("receive-clip", () => {
  it("takes what is sent to the job, once, and makes the clip of it", async () => {
    const { folder, receive, send } = await bench();
    const { sent, job } = await receive("b.mp4", "clip b");
    expect([sent.status, job.state, job.added]).toEqual([200, "done", { name: "b.mp4", copied: true }]);
    expect((await stat(join(folder, "b.mp4"))).mtimeMs).toBe(FILMED_MS);
    expect((await send(job.id, "more")).status).toBe(404);
    expect(await snapshotOf(folder)).toEqual({ "a.mp4": "clip a", "b.mp4": "clip b" });
  });

  it.each([
    ["../b.mp4", "bad-clip-name"],
    ["card/b.mp4", "bad-clip-name"],
    ["..", "bad-clip-name"],
    [".b.mp4", "bad-clip-name"],
    ["loftmark.json", "not-a-video"],
    ["report.html", "not-a-video"],
  ])("refuses the name %j as %s before anything is sent", async (name, code) => {
    const { folder, client } = await bench();
    const asked = client.startJob({ kind: "receive-clip", name, bytes: 4, modifiedMs: 0 });
    expect((await faultOf(asked)).code).toBe(code);
    expect(await readdir(folder)).toEqual(["a.mp4"]);
  });

  it("refuses what no disk has room for, and a clip of no bytes, before anything is sent", async () => {
    const { folder, client } = await bench();
    const code = async (bytes: number) =>
      (await faultOf(client.startJob({ kind: "receive-clip", name: "b.mp4", bytes, modifiedMs: 0 }))).code;
    expect([await code(Number.MAX_SAFE_INTEGER), await code(0)]).toEqual(["disk-full", "clip-empty"]);
    expect(await readdir(folder)).toEqual(["a.mp4"]);
  });

  it("adds nothing of what is longer or shorter than it said, breaks off, or is no plain bytes", async () => {
    const { folder, client, receive, send, ended } = await bench();
    const long = await receive("b.mp4", "clip b and more", 6);
    const short = await receive("b.mp4", "clip b", 60);
    expect([long.job.error?.code, short.job.error?.code]).toEqual(["clip-cut-off", "clip-cut-off"]);
    const broken = await client.startJob({ kind: "receive-clip", name: "b.mp4", bytes: 6, modifiedMs: 0 });
    await send(
      broken.id,
      new ReadableStream({
        start(stream) {
          stream.enqueue(new TextEncoder().encode("cl"));
        },
        pull: (stream) => stream.error(new Error("the window was closed")),
      }),
    );
    expect((await ended(broken.id)).error).toMatchObject({
      code: "clip-cut-off",
      cause: "The window stopped sending b.mp4, so nothing was added.",
    });
    const typed = await client.startJob({ kind: "receive-clip", name: "b.mp4", bytes: 6, modifiedMs: 0 });
    expect((await send(typed.id, "clip b", { "content-type": "text/plain" })).status).toBe(400);
    expect((await send(typed.id, "clip b")).status).toBe(200);
    await ended(typed.id);
    expect(await snapshotOf(folder)).toEqual({ "a.mp4": "clip a", "b.mp4": "clip b" });
  });

  it("is stopped in the middle and leaves nothing, though the window sends no more", async () => {
    const { folder, client, send } = await bench();
    const job = await client.startJob({ kind: "receive-clip", name: "b.mp4", bytes: 6, modifiedMs: 0 });
    const half = new ReadableStream({ start: (stream) => stream.enqueue(new TextEncoder().encode("cl")) });
    const sending = send(job.id, half);
    await expect.poll(async () => (await readdir(folder)).length).toBe(2);
    expect((await client.cancelJob(job.id)).state).toBe("cancelled");
    await sending;
    expect(await readdir(folder)).toEqual(["a.mp4"]);
  });

  it("gives up where nothing is sent at all", async () => {
    const expected = createIncomingClips(async () => {}).expect("b.mp4");
    expect(await faultOf(expected.content(new AbortController().signal))).toMatchObject({
      code: "not-read",
      cause: "The window did not send b.mp4, so nothing was added.",
    });
  });
});

describe("sending a clip to the loopback host", () => {
  const json = (body: object) => ({
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify(body),
  });
  const asked = json({ kind: "receive-clip", name: "b.mp4", bytes: 6, modifiedMs: FILMED_MS });

  it("takes the page's token, and lands in the folder that the request names", async () => {
    const { ask, bearer, cookie, host, api, folder } = await webBench();
    const job = await ask(`${api}/jobs`, { ...asked, headers: { ...asked.headers, ...bearer } });
    const { id } = JSON.parse(job.body) as { id: string };
    const content = `${api}/jobs/${id}/content`;
    const refused = async (headers: Record<string, string>) =>
      (await ask(content, { method: "PUT", body: "clip b", headers: { ...BYTES, ...headers } })).status;
    expect(await refused({ host: bearer.host })).toBe(401);
    expect(await refused({ ...bearer, authorization: "Bearer wrong" })).toBe(401);
    expect(await refused({ ...cookie, origin: "https://evil.example" })).toBe(403);
    expect(await refused(cookie)).toBe(403); // by cookie, a change must say which page it comes from
    expect(await readdir(folder)).toEqual(["a.mp4"]);
    const sent = await ask(content, {
      method: "PUT",
      body: "clip b",
      headers: { ...BYTES, ...cookie, origin: host.origin },
    });
    expect(sent.status).toBe(200);
    expect((await snapshotOf(folder))["b.mp4"]).toBe("clip b");
  });

  it("starts no job without the token, and reaches no other folder by a job of this one", async () => {
    const { ask, bearer, own, api, folder } = await webBench();
    expect((await ask(`${api}/jobs`, { ...asked, headers: { ...asked.headers, ...own } })).status).toBe(401);
    const other = await temporaryFolder();
    const opened = await ask("/host/open", {
      ...json({ path: other }),
      headers: { "content-type": "application/json", ...bearer },
    });
    const { id: otherId } = JSON.parse(opened.body) as { id: string };
    const job = await ask(`${api}/jobs`, { ...asked, headers: { ...asked.headers, ...bearer } });
    const { id } = JSON.parse(job.body) as { id: string };
    const put = { method: "PUT", body: "clip b", headers: { ...BYTES, ...bearer } };
    expect((await ask(`/api/folders/${otherId}/jobs/${id}/content`, put)).status).toBe(404);
    expect((await ask(`/api/folders/nobody/jobs/${id}/content`, put)).status).toBe(410);
    expect((await ask(`/api/jobs/${id}/content`, put)).status).toBe(400);
    expect([await readdir(other), await readdir(folder)]).toEqual([[], ["a.mp4"]]);
    await rm(other, { recursive: true });
  });
});

it("a folder that is gone says so, whatever is dropped on it", async () => {
  const { folder, elsewhere, run } = await bench();
  await run({ kind: "copy-clip", path: join(elsewhere, "b.mp4") });
  await rm(folder, { recursive: true });
  const fault = await faultOf(run({ kind: "copy-clip", path: join(elsewhere, "b.mp4") }));
  expect([fault.code, fault.cause]).toEqual(["folder-gone", expect.stringContaining(basename(folder))]);
});
