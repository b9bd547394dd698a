import { expect, it } from "vitest";
import {
  canFollow,
  doubtAccepted,
  followAll,
  followingOf,
  followKey,
  followPoint,
  nearestHand,
} from "../../../src/renderer/actions/follow-point.ts";
import { createJobs } from "../../../src/renderer/actions/jobs.ts";
import { type AppState, emptyState, shotOf } from "../../../src/renderer/app-state/app-state.ts";
import type { Service } from "../../../src/renderer/host/service.ts";
import { movedTo } from "../../../src/renderer/picking/picks.ts";
import { createStore } from "../../../src/renderer/store/store.ts";
import type { JobReply, JobRequest } from "../../../src/shared/api/job-contract.ts";
import type { Fault } from "../../../src/shared/quantity/notice.ts";
import type { ClipFacts } from "../../../src/shared/session/clip-facts.ts";
import type { Edit } from "../../../src/shared/session/edits.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";
import type { Mark } from "../../../src/shared/session/schema.ts";

const facts = { width: 640, height: 360, pts: [0, 1, 2, 3, 4, 5, 6, 7] } as unknown as ClipFacts;
const mark = (frame: number, by: Mark["by"] = "hand"): Mark => ({
  pointId: "nose",
  frame,
  x: 100 + frame,
  y: 50,
  u: 0.4,
  by,
});
const placed = (frame: number, doubts: readonly "loose"[] = []) => ({
  frame,
  at: [100.12345 + frame, 50] as [number, number],
  u: 0.0364,
  likeness: 0.99,
  repeat: false,
  renewals: 0,
  doubts: [...doubts],
});

function bench(answer: (request: JobRequest) => Promise<Partial<JobReply>>, marks = [mark(2), mark(5)]) {
  const session = {
    ...freshSession("t"),
    points: ["nose", "tail"].map((id) => ({
      ...{ id, name: id, on: "airframe" as const },
      ...{ airframeId: "airframe-1", body: null },
    })),
    shots: [{ ...freshShot("shot-1", "one", "a.mp4"), marks }],
  };
  const store = createStore<AppState>({
    ...emptyState(session),
    shotId: "shot-1",
    pointId: "nose",
    frame: 2,
    known: { "a.mp4": { status: "known", facts, fingerprint: null } },
  });
  const jobs = createJobs(store, { job: answer, damage: async () => [] } as unknown as Service);
  const [edits, faults]: [Edit[], Fault[]] = [[], []];
  const parts = {
    store,
    jobs,
    change: (edit: Edit) => {
      edits.push(edit);
    },
    onFault: (fault: Fault) => faults.push(fault),
  };
  return {
    store,
    edits,
    faults,
    follow: (back = false) => followPoint(parts, back),
    all: () => followAll(parts),
  };
}

const key = followKey("shot-1", "nose");

it("asks for the frames to the clip's end with every hand mark, and sets what comes back as one edit", async () => {
  const asked: JobRequest[] = [];
  const { store, edits, follow } = bench(async (request) => {
    asked.push(request);
    return {
      state: "done",
      followed: [
        {
          runs: [
            {
              marks: [placed(3), placed(4, ["loose"]), placed(5)],
              radiusPx: 12,
              handFrames: [2],
              commonU: 0.4,
            },
          ],
          met: [],
          end: { why: "left", frame: 6, number: 0 },
        },
      ],
    };
  });
  await follow();
  expect(asked).toEqual([
    {
      kind: "follow",
      clip: "a.mp4",
      shotId: "shot-1",
      ways: [
        {
          pointId: "nose",
          point: "nose",
          seed: { frame: 2, at: [102, 50], u: 0.4 },
          hands: [
            { frame: 2, at: [102, 50], u: 0.4 },
            { frame: 5, at: [105, 50], u: 0.4 },
          ],
          to: 7,
          exposureShare: null,
        },
      ],
    },
  ]);
  // Frame 5 has a hand mark, which stays.
  expect(edits).toEqual([
    {
      kind: "set-marks",
      shotId: "shot-1",
      marks: [
        { pointId: "nose", frame: 3, x: 103.123, y: 50, u: 0.036, by: "follower" },
        { pointId: "nose", frame: 4, x: 104.123, y: 50, u: 0.036, by: "follower" },
      ],
    },
  ]);
  const note = store.get().follows[key]!;
  expect(note.end).toMatchObject({
    frame: 6,
    fault: { code: "follow-left", cause: expect.stringContaining("frame 6 the nose") },
  });
  expect(note.doubtful).toEqual([{ frame: 4, text: "good to ±0.04 px only" }]);
  expect(doubtAccepted(store.get(), key, 4).follows[key]!.doubtful).toEqual([]);
  expect(doubtAccepted(store.get(), key, null).follows[key]!.doubtful).toEqual([]);
  expect(doubtAccepted(store.get(), "follow other", 4)).toBe(store.get());
});

it("goes backwards to frame 0", async () => {
  const asked: JobRequest[] = [];
  const { follow } = bench(async (request) => {
    asked.push(request);
    return { followed: null };
  });
  await follow(true);
  expect(asked).toMatchObject([{ ways: [{ to: 0 }] }]);
});

it("leaves everything as it was when stopped, and tells of a fault", async () => {
  const stopped = bench(async () => ({ state: "cancelled", followed: null }));
  await stopped.follow();
  expect([stopped.edits, stopped.store.get().follows, stopped.faults]).toEqual([[], {}, []]);
  const failed = bench(async () => {
    throw new Error("gone");
  });
  await failed.follow();
  expect(failed.faults).toHaveLength(1);
  expect(failed.edits).toEqual([]);
});

it("follows from the nearest hand mark, once at a time", async () => {
  const asked: JobRequest[] = [];
  const { store, follow } = bench(
    (request) => {
      asked.push(request);
      return new Promise(() => {});
    },
    [mark(2), mark(3, "follower"), mark(6)],
  );
  expect(nearestHand(shotOf(store.get()), "nose", 3)).toBe(2);
  expect(nearestHand(shotOf(store.get()), "nose", 4)).toBe(2); // of two as near the earlier
  expect(nearestHand(shotOf(store.get()), "nose", 5)).toBe(6);
  store.set({ ...store.get(), frame: 3 }); // the frame has gone on by itself
  expect(canFollow(store.get())).toBe(true);
  expect(canFollow({ ...store.get(), pointId: null })).toBe(false);
  expect(canFollow({ ...store.get(), known: {} })).toBe(false);
  void follow();
  store.set({ ...store.get(), jobs: [{ key, doing: "", fraction: 0, secondsLeft: null }] });
  expect(canFollow(store.get())).toBe(false);
  await follow();
  expect(asked).toMatchObject([{ ways: [{ seed: { frame: 2 } }] }]);
});

it("says why there is nothing to follow", async () => {
  const none = bench(async () => ({ followed: null }), [mark(3, "follower")]);
  await none.follow();
  expect(none.faults).toMatchObject([{ code: "not-followed", cause: /no hand mark/ }]);
  const atEnd = bench(async () => ({ followed: null }), [mark(7)]);
  await atEnd.follow();
  expect(atEnd.faults).toMatchObject([{ code: "not-followed", cause: /last frame/ }]);
});

it("follows every point with a hand mark both ways in one job, as one step", async () => {
  const asked: JobRequest[] = [];
  const { store, edits, all } = bench(
    async (request) => {
      asked.push(request);
      if (request.kind !== "follow") return {};
      const followed = request.ways.map(({ to }) => ({
        runs: [{ radiusPx: 12, marks: [placed(to === 0 ? 1 : 3, ["loose"])], handFrames: [2], commonU: 0.4 }],
        met: [],
        end: to === 0 ? null : { why: "left" as const, frame: 4, number: 0 },
      }));
      return { state: "done", followed };
    },
    [mark(2), { ...mark(5), pointId: "tail" }],
  );
  await all();
  const [request] = asked as [Extract<JobRequest, { kind: "follow" }>];
  expect(asked).toHaveLength(1);
  expect(request.ways.map(({ pointId, seed, to }) => `${pointId} ${seed.frame} to ${to}`)).toEqual([
    "nose 2 to 7",
    "nose 2 to 0",
    "tail 5 to 7",
    "tail 5 to 0",
  ]);
  expect(edits).toHaveLength(1);
  expect(edits[0]).toMatchObject({ marks: { length: 4 } });
  const note = store.get().follows[key]!;
  expect(note.end?.frame).toBe(4); // of the way onwards
  expect(note.more.join(" ")).toContain("Backwards: ");
  expect(note.doubtful.map(({ frame }) => frame)).toEqual([1, 3]);
});

it("knows which points the work that runs follows", async () => {
  const { store } = bench(async () => ({ followed: null }));
  const job = { key: followKey("shot-1", "nose", "tail", "nose"), doing: "", fraction: 0, secondsLeft: null };
  store.set({ ...store.get(), jobs: [job] });
  expect(followingOf(store.get(), "shot-1", "tail")).toBe(job);
  expect(followingOf(store.get(), "shot-1", "wing")).toBeNull();
  expect(followingOf(store.get(), "shot-2", "tail")).toBeNull();
  expect(canFollow(store.get())).toBe(false);
});

it("a mark of the follower that is dragged becomes one by hand, as good as a hand", () => {
  const { store } = bench(async () => ({ followed: null }), [mark(2), { ...mark(3, "follower"), u: 0.04 }]);
  const moved = movedTo({ ...store.get(), frame: 3 }, { kind: "mark", pointId: "nose" }, [110, 60]);
  expect(moved!.edit).toEqual({
    kind: "set-mark",
    shotId: "shot-1",
    mark: { pointId: "nose", frame: 3, x: 110, y: 60, u: 0.4, by: "hand" },
  });
});
