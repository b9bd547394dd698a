import { describe, expect, it } from "vitest";
import { clipVersion, createClient, type FetchLike, framePath } from "../../../src/shared/api/client.ts";
import type { JobReply } from "../../../src/shared/api/job-contract.ts";
import { FaultError } from "../../../src/shared/quantity/notice.ts";
import { sampleSession } from "../session/sample-session.ts";

interface Call {
  readonly url: string;
  readonly method: string | undefined;
  readonly body: unknown;
  readonly type: string | undefined;
}

/** A transport that notes what was asked and gives the listed answers in turn. */
function transport(...answers: readonly { status?: number; json: unknown }[]) {
  const calls: Call[] = [];
  const fetchLike: FetchLike = async (url, init) => {
    const { status = 200, json } = answers[Math.min(calls.length, answers.length - 1)]!;
    calls.push({
      url,
      method: init?.method,
      body: init?.body === undefined ? undefined : JSON.parse(init.body),
      type: init?.headers?.["content-type"],
    });
    return { ok: status < 400, status, json: async () => json };
  };
  return { calls, fetchLike };
}

const job = (state: JobReply["state"], fraction: number): JobReply => ({
  id: "j 1",
  kind: "write-up",
  state,
  doing: "writing",
  fraction,
  secondsLeft: null,
  error: state === "failed" ? { code: "disk-full", cause: "No room.", remedy: "Make room." } : null,
  facts: null,
  differences: null,
  followed: null,
  tuned: null,
  drawn: null,
  about: null,
  endedAt: null,
  heldElsewhere: false,
  taken: false,
  files: null,
});

async function faultOf(promise: Promise<unknown>) {
  const error = await promise.then(
    () => new Error("did not throw"),
    (thrown: unknown) => thrown,
  );
  if (!(error instanceof FaultError)) throw error;
  return error.fault;
}

describe("createClient", () => {
  it("asks for the session under its base and gives the reply", async () => {
    const reply = {
      session: sampleSession(),
      revision: "r1",
      folderName: "day",
      existed: true,
      before: null,
      access: "writable",
      readOnlyReason: null,
      truth: null,
    };
    const { calls, fetchLike } = transport({ json: reply });
    expect(await createClient(fetchLike, "http://127.0.0.1:9").session()).toEqual(reply);
    expect(calls).toEqual([
      { url: "http://127.0.0.1:9/api/session", method: "GET", body: undefined, type: undefined },
    ]);
  });

  it("sends a save and a job as JSON", async () => {
    const save = { session: sampleSession(), baseRevision: "r1" };
    const one = transport({ json: { revision: "r2" } });
    expect(await createClient(one.fetchLike).saveSession(save)).toEqual({ revision: "r2" });
    expect(one.calls).toEqual([{ url: "/api/session", method: "PUT", body: save, type: "application/json" }]);
    const two = transport({ status: 201, json: job("running", 0) });
    await createClient(two.fetchLike).startJob({ kind: "inspect", clip: "a b.mp4" });
    expect(two.calls[0]).toMatchObject({
      url: "/api/jobs",
      method: "POST",
      body: { kind: "inspect", clip: "a b.mp4" },
    });
  });

  it("throws the fault that the service sent", async () => {
    const error = { code: "session-changed", cause: "It changed.", remedy: "Reload." };
    const { fetchLike } = transport({ status: 409, json: { error } });
    expect(await faultOf(createClient(fetchLike).clips())).toEqual(error);
  });

  it("throws its own fault when nothing answers or the answer is not of the contract", async () => {
    const dead = createClient(() => Promise.reject(new TypeError("fetch failed")));
    expect((await faultOf(dead.clips())).code).toBe("no-answer");
    for (const answer of [{ json: { clips: "none" } }, { status: 502, json: "<html>" }]) {
      const fault = await faultOf(createClient(transport(answer).fetchLike).clips());
      expect(fault.code).toBe("unexpected-answer");
    }
  });

  it("follows a job to its end and tells of progress", async () => {
    const { calls, fetchLike } = transport(
      { status: 201, json: job("running", 0) },
      { json: job("running", 0.5) },
      { json: job("done", 1) },
    );
    const seen: number[] = [];
    const done = await createClient(fetchLike).runJob(
      { kind: "write-up" },
      { pause: async () => {}, onProgress: ({ fraction }) => seen.push(fraction) },
    );
    expect(done.state).toBe("done");
    expect(seen).toEqual([0, 0.5, 1]);
    expect(calls.map(({ method, url }) => `${method} ${url}`)).toEqual([
      "POST /api/jobs",
      "GET /api/jobs/j%201",
      "GET /api/jobs/j%201",
    ]);
  });

  it("throws the fault of a job that failed, and cancels a job once told to stop", async () => {
    const failed = transport({ status: 201, json: job("running", 0) }, { json: job("failed", 0.2) });
    const waiting = { pause: async () => {} };
    const fault = await faultOf(createClient(failed.fetchLike).runJob({ kind: "write-up" }, waiting));
    expect(fault).toEqual({ code: "disk-full", cause: "No room.", remedy: "Make room." });

    const stopped = transport({ status: 201, json: job("running", 0) }, { json: job("cancelled", 0.2) });
    const end = await createClient(stopped.fetchLike).runJob(
      { kind: "write-up" },
      { ...waiting, signal: { aborted: true } },
    );
    expect(end.state).toBe("cancelled");
    expect(stopped.calls[1]?.method).toBe("DELETE");
  });
});

describe("framePath", () => {
  it("escapes the clip's name and carries the version of its content when known", () => {
    expect(framePath("a b/ü#1.mp4", 7, "half")).toBe("/api/clips/a%20b%2F%C3%BC%231.mp4/frames/7?size=half");
    const clip = { bytes: 1200, modifiedMs: 1700000000123.75 };
    expect(clipVersion(clip)).toBe("1200-1700000000123.75");
    expect(framePath("a.mp4", 0, "full", clip)).toBe(
      "/api/clips/a.mp4/frames/0?size=full&v=1200-1700000000123.75",
    );
  });

  it("names the folder where the host has several", () => {
    expect(framePath("a.mp4", 0, "full", undefined, "x1")).toBe(
      "/api/folders/x1/clips/a.mp4/frames/0?size=full",
    );
  });
});
