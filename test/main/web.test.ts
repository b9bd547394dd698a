import { mkdir, rm, symlink, writeFile } from "node:fs/promises";
import { connect } from "node:net";
import { networkInterfaces } from "node:os";
import { basename, join } from "node:path";
import { describe, expect, it } from "vitest";
import { startWebHost } from "../../src/main/web.ts";
import { createClient } from "../../src/shared/api/client.ts";
import { sampleSession } from "../shared/session/sample-session.ts";
import { faultOf } from "../support/fault-of.ts";
import { rawBytes } from "../support/raw-request.ts";
import { snapshotOf, temporaryFolder } from "../support/temporary-folder.ts";
import { webBench } from "../support/web-bench.ts";

const JSON_TYPE = { "content-type": "application/json" };

describe("entering the loopback host", () => {
  it("answers the printed address with a cookie of its own port, and the page without the token", async () => {
    const { host, port, own, ask } = await webBench();
    expect(host.url).toBe(`http://127.0.0.1:${port}/?token=${host.token}`);
    expect(Buffer.from(host.token, "base64url")).toHaveLength(32);
    const entered = await ask(`/?token=${host.token}`, { headers: own });
    expect([entered.status, entered.headers.location]).toEqual([303, "/"]);
    expect(entered.headers["set-cookie"]).toEqual([
      `loftmark-${port}=${host.token}; HttpOnly; SameSite=Strict; Path=/`,
    ]);
    const page = await ask("/", { headers: { ...own, cookie: `loftmark-${port}=${host.token}` } });
    expect([page.status, page.body]).toEqual([200, "<!doctype html><title>page</title>"]);
    expect(page.headers["content-security-policy"]).toContain("default-src 'none'; script-src 'self'");
    expect(page.headers["x-content-type-options"]).toBe("nosniff");
    expect(page.headers["cache-control"]).toBe("no-store");
    expect(page.headers["cross-origin-resource-policy"]).toBe("same-origin");
  });

  it("has another token at each start", async () => {
    const [one, two] = [await webBench(), await webBench()];
    expect(one.host.token).not.toBe(two.host.token);
    const foreign = { ...one.own, authorization: `Bearer ${two.host.token}` };
    expect((await one.ask("/api/session", { headers: foreign })).status).toBe(401);
  });

  it.each([
    "/",
    "/api/session",
    "/assets/index-ab12.js",
    "/host/info",
    "/?token=",
    "/?token=wrong",
    "/index.html",
  ])("refuses %s without the token, saying what to open", async (path) => {
    const { own, ask } = await webBench();
    const reply = await ask(path, { headers: own });
    expect(reply.status).toBe(401);
    expect(reply.body).toContain("Open the whole address");
    expect(reply.body).not.toContain("<title>page");
  });

  it("refuses the token in the address of anything but the page, and a cookie of another port", async () => {
    const { host, port, own, ask } = await webBench();
    expect((await ask(`/api/session?token=${host.token}`, { headers: own })).status).toBe(401);
    const other = { ...own, cookie: `loftmark-${port + 1}=${host.token}` };
    expect((await ask("/api/session", { headers: other })).status).toBe(401);
  });
});

describe("forged headers", () => {
  it.each([
    "localhost:PORT",
    "127.0.0.1",
    "127.0.0.1:1",
    "evil.example",
    "evil.example:PORT",
    "127.0.0.1.evil.example:PORT",
  ])("are refused with 421 for the Host %s, even with the token", async (name) => {
    const { port, bearer, ask, host } = await webBench();
    const headers = { ...bearer, host: name.replace("PORT", String(port)) };
    expect((await ask("/api/session", { headers })).status).toBe(421);
    expect((await ask(`/?token=${host.token}`, { headers })).headers["set-cookie"]).toBeUndefined();
  });

  it.each([
    "http://evil.example",
    "null",
    "http://localhost:PORT",
    "https://127.0.0.1:PORT",
    "http://127.0.0.1:1",
  ])("are refused with 403 for the Origin %s, even with the token", async (origin) => {
    const { port, bearer, cookie, ask, api } = await webBench();
    const forged = { origin: origin.replace("PORT", String(port)) };
    expect((await ask(`${api}/session`, { headers: { ...bearer, ...forged } })).status).toBe(403);
    const save = { method: "PUT", body: "{}", headers: { ...cookie, ...JSON_TYPE, ...forged } };
    expect((await ask(`${api}/session`, save)).status).toBe(403);
  });

  it("are refused when a change comes by cookie without an Origin, and nothing is written", async () => {
    const { host, cookie, bearer, ask, folder, api } = await webBench();
    const body = JSON.stringify({ session: sampleSession(), baseRevision: "none" });
    const save = (headers: Record<string, string>) =>
      ask(`${api}/session`, { method: "PUT", body, headers: { ...headers, ...JSON_TYPE } });
    const before = await snapshotOf(folder);
    expect((await save(cookie)).status).toBe(403);
    expect(
      (await ask("/host/open", { method: "POST", body: "{}", headers: { ...cookie, ...JSON_TYPE } })).status,
    ).toBe(403);
    expect(await snapshotOf(folder)).toEqual(before);
    expect((await save({ ...cookie, origin: host.origin })).status).toBe(200);
    const { revision } = JSON.parse((await ask(`${api}/session`, { headers: bearer })).body) as {
      revision: string;
    };
    expect(revision).toMatch(/^[0-9a-f]{64}$/);
  });

  it("are refused when the browser says that another site asks by cookie", async () => {
    const { cookie, ask, api } = await webBench();
    for (const site of ["cross-site", "same-site"]) {
      const headers = { ...cookie, "sec-fetch-site": site, "sec-fetch-mode": "no-cors" };
      expect((await ask(`${api}/clips/a.mp4/frames/0`, { headers })).status, site).toBe(403);
    }
    const own = { ...cookie, "sec-fetch-site": "same-origin", "sec-fetch-mode": "cors" };
    expect((await ask(`${api}/clips/a.mp4/frames/0`, { headers: own })).status).toBe(200);
  });

  it("are refused for another content type, so that no plain form can save", async () => {
    const { host, cookie, ask, api } = await webBench();
    const headers = { ...cookie, origin: host.origin, "content-type": "text/plain" };
    expect((await ask(`${api}/session`, { method: "PUT", body: "{}", headers })).status).toBe(415);
  });

  it("do not make a proxy of it, and broken requests do not end it", async () => {
    const { port, host, bearer, ask } = await webBench();
    const asProxy = `GET http://evil.example/ HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\nAuthorization: Bearer ${host.token}\r\nConnection: close\r\n\r\n`;
    expect(await rawBytes(port, asProxy)).toMatch(/^HTTP\/1\.1 200 [\s\S]*<title>page/);
    expect(await rawBytes(port, "BREW /pot HTCPCP/1.0\r\n\r\n")).toMatch(/^HTTP\/1\.1 400 /);
    for (const path of ["//", "//evil.example/x", "/%", "/?%"]) {
      expect((await ask(path, { headers: bearer })).status, path).toBeLessThan(500);
    }
    expect((await ask("/host/info", { headers: bearer })).status).toBe(200);
  });
});

describe("the page's files", () => {
  it("are given by type, with names that carry a hash kept for good", async () => {
    const { bearer, ask } = await webBench();
    const script = await ask("/assets/index-ab12.js", { headers: bearer });
    expect([script.status, script.headers["content-type"], script.headers["cache-control"]]).toEqual([
      200,
      "text/javascript; charset=utf-8",
      "private, max-age=31536000, immutable",
    ]);
    const head = await ask("/index.html", { method: "HEAD", headers: bearer });
    expect([head.status, head.headers["content-length"], head.body]).toEqual([200, "34", ""]);
  });

  it.each([
    "/../package.json",
    "/..%2fpackage.json",
    "/%2e%2e/package.json",
    "/..%5cpackage.json",
    "/assets/..%2f..%2findex.html",
    "/assets/../../x.html",
    "/.secret.html",
    "/%00.html",
    "/notes.txt",
    "/assets",
    "/assets/",
    "/a.mp4",
    "/loftmark.json",
    "/link.html",
    "/etc/passwd",
    "/%E0%A4%A",
  ])("do not include %s", async (path) => {
    const { bearer, ask, rendererDir } = await webBench();
    const outside = await temporaryFolder();
    await writeFile(join(outside, "x.html"), "outside");
    await symlink(join(outside, "x.html"), join(rendererDir, "link.html"));
    const reply = await ask(path, { headers: bearer });
    expect(reply.status).toBe(404);
    expect(JSON.parse(reply.body)).toMatchObject({ error: { code: "no-such-route" } });
  });
});

describe("the service behind it", () => {
  it("answers a client as it does without a socket: session, save, clips, jobs, raw frame bytes", async () => {
    const { host, bearer, ask, folder, id, api } = await webBench();
    const client = createClient(
      (url, init) =>
        fetch(url, { ...init, headers: { ...init?.headers, authorization: `Bearer ${host.token}` } }),
      host.origin,
      id,
    );
    expect((await client.session()).folderName).toBe(basename(folder));
    await client.saveSession({ session: sampleSession(), baseRevision: "none" });
    expect((await client.session()).session).toEqual(sampleSession());
    expect((await client.clips()).clips.map((clip) => clip.name)).toEqual(["a.mp4"]);
    const job = await client.runJob({ kind: "inspect", clip: "a.mp4" }, { pause: async () => {} });
    expect(job.facts?.pts).toHaveLength(12);
    const frame = await ask(`${api}/clips/a.mp4/frames/3?size=half`, { headers: bearer });
    expect([
      frame.status,
      frame.body,
      frame.headers["content-type"],
      frame.headers["cross-origin-resource-policy"],
    ]).toEqual([200, "a.mp4 3 half", "image/jpeg", "same-origin"]);
    const again = await ask(`${api}/clips/a.mp4/frames/3?size=half`, {
      headers: { ...bearer, "if-none-match": String(frame.headers.etag) },
    });
    expect([again.status, again.body]).toEqual([304, ""]);
  });

  it("stops taking in a body that is too long and stays well", async () => {
    const { bearer, ask, folder, api } = await webBench();
    const before = await snapshotOf(folder);
    const body = `"${"x".repeat(128 * 1024 * 1024)}"`;
    const end = await ask(`${api}/session`, {
      method: "PUT",
      body,
      headers: { ...bearer, ...JSON_TYPE },
    }).then(
      (reply) => reply.status,
      (error: NodeJS.ErrnoException) => error.code, // the connection may close while the client still sends
    );
    expect([413, "ECONNRESET", "EPIPE"]).toContain(end);
    expect((await ask(`${api}/session`, { headers: bearer })).status).toBe(200);
    expect(await snapshotOf(folder)).toEqual(before);
  });

  it("tells the work that nobody waits for it any more", async () => {
    let told: AbortSignal | undefined;
    const paper = (await import("../support/paper-media.ts")).paperMedia();
    const media = {
      ...paper.media,
      frame: (
        _path: string,
        _facts: unknown,
        _index: number,
        _size: string,
        options?: { signal?: AbortSignal },
      ) =>
        new Promise<Uint8Array>((resolve) => {
          told = options?.signal;
          told?.addEventListener("abort", () => resolve(new Uint8Array()));
        }),
    };
    const { host, api } = await webBench({ media });
    const gone = new AbortController();
    const asked = fetch(`${host.origin}${api}/clips/a.mp4/frames/0`, {
      headers: { authorization: `Bearer ${host.token}` },
      signal: gone.signal,
    });
    await expect.poll(() => told?.aborted).toBe(false);
    gone.abort();
    await expect(asked).rejects.toThrow("aborted");
    await expect.poll(() => told?.aborted).toBe(true);
  });
});

/** Folders opened beside the first one, by their paths. */
async function hostBench() {
  const bench = await webBench();
  const { bearer, ask } = bench;
  const get = (path: string) => ask(path, { headers: bearer });
  const send = (method: string, path: string, body: unknown) =>
    ask(path, { method, body: JSON.stringify(body), headers: { ...bearer, ...JSON_TYPE } });
  const open = async (path: string) => {
    const reply = await send("POST", "/host/open", { path });
    expect(reply.status, reply.body).toBe(200);
    return JSON.parse(reply.body) as { id: string; folder: string; name: string };
  };
  const clips = async (id: string) =>
    (JSON.parse((await get(`/api/folders/${id}/clips`)).body) as { clips: { name: string }[] }).clips.map(
      ({ name }) => name,
    );
  const fault = async (reply: Promise<{ status: number; body: string }>) => {
    const { status, body } = await reply;
    const { error } = JSON.parse(body) as { error: { code: string; cause: string; remedy: string } };
    return { status, ...error };
  };
  const other = await temporaryFolder();
  await writeFile(join(other, "b.mp4"), "clip of 3 frames");
  return { ...bench, get, send, open, clips, fault, other };
}

describe("/host", () => {
  it("says which host it is and which folder it has open, by an id that is not its path", async () => {
    const { get, folder, id } = await hostBench();
    const named = { host: "loopback", id, folder, name: basename(folder), canPickFolder: false };
    expect(JSON.parse((await get("/host/info")).body)).toEqual(named);
    expect(JSON.parse((await get(`/host/info?folder=${id}`)).body)).toEqual(named);
    expect(Buffer.from(id, "base64url")).toHaveLength(16);
    expect(JSON.parse((await get("/host/folders")).body)).toEqual({
      folders: [{ id, folder, name: basename(folder) }],
    });
  });

  it("opens another folder, or the folder of a clip, beside the first: each id keeps its own", async () => {
    const { open, clips, get, folder, id, other } = await hostBench();
    const second = await open(join(other, "b.mp4"));
    expect(second).toEqual({ id: second.id, folder: other, name: basename(other) });
    expect(second.id).not.toBe(id);
    expect([await clips(id), await clips(second.id)]).toEqual([["a.mp4"], ["b.mp4"]]);
    expect(await open(other)).toEqual(second); // open already: the same one
    // A plain address shows what was opened last; one that names its folder stays.
    expect(JSON.parse((await get("/host/info")).body).folder).toBe(other);
    expect(JSON.parse((await get(`/host/info?folder=${id}`)).body).folder).toBe(folder);
  });

  it("has one service for a folder that two tabs open at once, also by a link", async () => {
    const { open, other, folder } = await hostBench();
    await symlink(other, join(folder, "link"));
    const opened = await Promise.all([open(other), open(other), open(join(folder, "link"))]);
    expect(new Set(opened.map(({ id }) => id)).size).toBe(1);
  });

  it("saves into the folder that a request names, whatever was opened meanwhile", async () => {
    const { open, send, folder, id, other } = await hostBench();
    const save = { session: { ...sampleSession(), title: "of the first" }, baseRevision: "none" };
    const before = await snapshotOf(other);
    await open(other);
    expect((await send("PUT", `/api/folders/${id}/session`, save)).status).toBe(200);
    expect(await snapshotOf(other)).toEqual(before);
    expect((await snapshotOf(folder))["loftmark.json"]).toContain("of the first");
  });

  it("refuses a folder that is not open, saying what to do, and a request that names none", async () => {
    const { get, send, fault, folder, id } = await hostBench();
    const before = await snapshotOf(folder);
    const gone = {
      status: 410,
      code: "folder-not-open",
      cause:
        "The folder that this window shows is not open any more: it was closed, or Loftmark was restarted.",
      remedy: "Reload the window: it then offers the folders that are open, and keeps what is not saved yet.",
    };
    const save = { session: sampleSession(), baseRevision: "none" };
    for (const wrong of ["none", id.slice(1), encodeURIComponent(folder), `${id}%00`]) {
      const path = `/api/folders/${wrong}/session`;
      expect(await fault(get(path)), wrong).toEqual(gone);
      expect(await fault(send("PUT", path, save)), wrong).toEqual(gone);
      expect(await fault(get(`/host/info?folder=${wrong}`)), wrong).toEqual(gone);
    }
    for (const bare of ["/api", "/api/session", "/api/clips", "/api/folders/", `/api/folders/${id}`]) {
      expect(await fault(get(bare)), bare).toMatchObject({ status: 400, code: "folder-not-named" });
    }
    expect(await fault(send("PUT", "/api/session", save))).toMatchObject({ code: "folder-not-named" });
    expect((await fault(get(`/api/folders/${id}/../session`))).code).toBe("folder-not-named");
    expect(await snapshotOf(folder)).toEqual(before);
  });

  it("keeps the folders that are open when another cannot be opened", async () => {
    const { get, send, fault, folder } = await hostBench();
    const open = (body: unknown) => fault(send("POST", "/host/open", body));
    expect(await open({ path: join(folder, "nowhere") })).toMatchObject({
      status: 404,
      code: "no-such-folder",
    });
    expect((await open({ path: "" })).status).toBe(400);
    expect((await open({ folder: "/" })).status).toBe(400);
    expect(JSON.parse((await get("/host/info")).body).folder).toBe(folder);
  });

  it("has nothing else", async () => {
    const { get } = await hostBench();
    expect((await get("/host/open")).status).toBe(404);
    expect((await get("/host/index.html")).status).toBe(404);
  });
});

describe("startWebHost", () => {
  it("listens on 127.0.0.1 and on no other address of the machine", async () => {
    const { port } = await webBench();
    const others = Object.values(networkInterfaces())
      .flatMap((list) => list ?? [])
      .filter((one) => one.family === "IPv4" && one.address !== "127.0.0.1")
      .map((one) => one.address);
    for (const address of ["::1", ...others]) {
      const reached = await new Promise((resolve) => {
        const socket = connect({ host: address, port }, () => {
          socket.destroy();
          resolve(true);
        });
        socket.on("error", () => resolve(false)); // the machine's own addresses refuse at once
      });
      expect(reached, address).toBe(false);
    }
  });

  it("refuses a port that is taken and a folder that is not there", async () => {
    const { port, folder, rendererDir, media } = await webBench();
    const options = { cacheDir: folder, rendererDir, media };
    expect(await faultOf(startWebHost({ ...options, folder, port }))).toMatchObject({
      code: "port-in-use",
      cause: `Port ${port} is in use by another program.`,
    });
    const missing = join(folder, "nowhere");
    expect((await faultOf(startWebHost({ ...options, folder: missing }))).code).toBe("no-such-folder");
  });

  it("closes with open connections and running jobs, and frees the port", async () => {
    const { host, port, bearer, ask, calls, folder, api } = await webBench();
    const request = { kind: "extract", clip: "a.mp4", from: 0, to: 5, size: "full" };
    await ask(`${api}/jobs`, {
      method: "POST",
      body: JSON.stringify(request),
      headers: { ...bearer, ...JSON_TYPE },
    });
    await expect.poll(() => calls).toContain("extract a.mp4 0-5 full");
    const idle = connect(port, "127.0.0.1");
    idle.on("error", () => {});
    await host.close();
    expect(calls).toContain("stopped");
    await expect(ask("/host/info", { headers: bearer })).rejects.toThrow("ECONNREFUSED");
    await mkdir(join(folder, "still here"));
    await rm(folder, { recursive: true });
  });
});
