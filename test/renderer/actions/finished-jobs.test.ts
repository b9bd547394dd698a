import { expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { settleOffer, takeUpJobs } from "../../../src/renderer/actions/finished-jobs.ts";
import { createJobs } from "../../../src/renderer/actions/jobs.ts";
import { toldOf } from "../../../src/renderer/actions/tune-launcher.ts";
import { type AppState, emptyState, sessionOf } from "../../../src/renderer/app-state/app-state.ts";
import type { FollowJob, Service } from "../../../src/renderer/host/service.ts";
import { createStore } from "../../../src/renderer/store/store.ts";
import { clipVersion } from "../../../src/shared/api/client.ts";
import type { JobReply } from "../../../src/shared/api/job-contract.ts";
import type { Fault } from "../../../src/shared/quantity/notice.ts";
import type { ShotResult } from "../../../src/shared/results/shot-result.ts";
import { applyEdit, type Edit } from "../../../src/shared/session/edits.ts";
import { undone } from "../../../src/shared/session/history.ts";
import { shotRestsOn, tuningRestsOn } from "../../../src/shared/session/rests-on.ts";
import type { Session } from "../../../src/shared/session/schema.ts";
import { edited } from "../../shared/session/edited.ts";
import { firstOf } from "../../support/one-of-each.ts";

const settle = async () => {
  for (let i = 0; i < 4; i++) await new Promise((resolve) => setImmediate(resolve));
};

const whole: Session = JSON.parse(JSON.stringify(exampleSession(1)));
const [shot] = whole.shots;
const clip = { name: shot!.clip!, bytes: 1000, modifiedMs: 5 };
const hand = shot!.marks.find((mark) => mark.pointId === "nose" && mark.by === "hand")!;
/** The example with nothing but one hand mark. */
const session: Session = { ...whole, shots: [{ ...shot!, marks: [hand] }] };
const { frame } = hand;

const BLANK: JobReply = {
  id: "j",
  kind: "follow",
  state: "done",
  doing: "",
  fraction: 1,
  secondsLeft: 0,
  error: null,
  facts: null,
  differences: null,
  followed: null,
  tuned: null,
  drawn: null,
  files: null,
  about: null,
  endedAt: "2026-05-01T12:32:00.000Z",
  heldElsewhere: false,
  taken: false,
};
const followed: JobReply = {
  ...BLANK,
  about: {
    kind: "follow",
    shotId: shot!.id,
    clip: clip.name,
    clipVersion: clipVersion(clip),
    ways: [
      { pointId: "nose", point: "nose", seed: { frame, at: [hand.x, hand.y], u: hand.u }, to: frame + 2 },
    ],
  },
  followed: [
    {
      runs: [
        {
          marks: [1, 2].map((by) => ({
            frame: frame + by,
            at: [hand.x + by, hand.y] as [number, number],
            u: 0.05,
            likeness: 0.99,
            repeat: false,
            renewals: 0,
            doubts: [],
          })),
          handFrames: [frame],
          radiusPx: 12,
          commonU: 0.4,
        },
      ],
      met: [],
      end: null,
    },
  ],
};
const launcherId = session.launchers[0]!.id;
const request = { launcherId, parameters: ["slidingN"], shotIds: [shot!.id], heldOutShotIds: [] };
const tuned: JobReply = {
  ...BLANK,
  kind: "tune",
  about: { kind: "tune", ...request, restsOn: tuningRestsOn(session, launcherId, request.shotIds) },
  tuned: {
    launcherKind: "compressed-air-ram",
    tuning: {
      inputs: [
        { name: "slidingN", stated: { value: 15, u: 4 }, tuned: { value: 12, u: 1 }, left: 0.2, moved: true },
      ],
      correlation: [1],
      undetermined: [],
      together: [],
      shots: [{ shotId: shot!.id, points: 20, own: [] }],
      chiSquare: 18,
      degreesOfFreedom: 17,
      chance: 0.4,
      widened: 1,
      scatter: null,
      earlyScatter: 0,
      unstated: [],
      rivals: [],
      steps: 5,
    },
    tuned: {
      values: [{ value: 12, u: 1 }],
      others: [],
      correlation: [[1]],
      undetermined: [],
      scatter: 0,
      shotCount: 1,
    },
    heldOut: [],
  },
};

/** A window that has just opened on a folder whose jobs are these. */
function bench(
  jobs: readonly JobReply[],
  document = session,
  adopted?: (follow: FollowJob) => Promise<JobReply>,
) {
  const store = createStore<AppState>({ ...emptyState(document), shotId: shot!.id, clips: [clip] });
  const [edits, notices, taken]: [Edit[], Fault[], string[]] = [[], [], []];
  const service = {
    jobs: async () => jobs,
    adopt: async (id: string, follow: FollowJob) =>
      adopted === undefined ? jobs.find((job) => job.id === id)! : adopted(follow),
    taken: async (id: string) => void taken.push(id),
  } as unknown as Service;
  const parts = {
    store,
    service,
    jobs: createJobs(store, service),
    change(edit: Edit) {
      edits.push(edit);
      store.set({ ...store.get(), history: edited(store.get().history, edit), save: { status: "waiting" } });
    },
    tell: (_: string, fault: Fault) => notices.push(fault),
  };
  const save = async () => {
    store.set({ ...store.get(), save: { status: "saved" } });
    await settle();
  };
  return { store, parts, edits, notices, taken, save, marks: () => sessionOf(store.get()).shots[0]!.marks };
}

it("puts the marks of a follow into the document as one step of undo, and says what came and when", async () => {
  const { store, parts, edits, notices, marks } = bench([followed]);
  void takeUpJobs(parts);
  await settle();
  expect(edits).toHaveLength(1);
  expect(marks().map((mark) => [mark.frame, mark.by])).toEqual([
    [frame, "hand"],
    [frame + 1, "follower"],
    [frame + 2, "follower"],
  ]);
  expect(undone(store.get().history).present.shots[0]!.marks).toEqual([hand]);
  expect(notices[0]!.cause).toMatch(
    new RegExp(
      `^The nose was followed while this window was closed, at \\d\\d:32 on 1 May: 2 marks, frames ${frame + 1} to ${frame + 2}\\.$`,
    ),
  );
});

it("calls a result taken only when the document that holds it is saved", async () => {
  const { parts, taken, save } = bench([followed]);
  void takeUpJobs(parts);
  await settle();
  expect(taken).toEqual([]);
  await save();
  expect(taken).toEqual(["j"]);
});

it("makes no step of marks that are there already, as after a window that died before it could say so", async () => {
  const first = bench([followed]);
  void takeUpJobs(first.parts);
  await settle();
  const second = bench([followed], sessionOf(first.store.get()));
  void takeUpJobs(second.parts);
  await settle();
  expect([second.edits, second.taken]).toEqual([[], ["j"]]);
});

it.each<[string, Session, RegExp, boolean]>([
  [
    "moved",
    { ...session, shots: [{ ...session.shots[0]!, marks: [{ ...hand, x: 1 }] }] },
    /moved since/,
    true,
  ],
  ["gone", { ...session, shots: [{ ...session.shots[0]!, marks: [] }] }, /is gone/, true],
  [
    "of another clip",
    { ...session, shots: [{ ...session.shots[0]!, clip: "b.mp4" }] },
    /another clip/,
    false,
  ],
  ["without its shot", { ...session, shots: [] }, /shot has been removed/, false],
])(
  "offers marks whose beginning is %s, with that said, and applies nothing",
  async (_, document, doubt, canTake) => {
    const { store, parts, edits, taken } = bench([followed], document);
    void takeUpJobs(parts);
    await settle();
    expect([edits, taken]).toEqual([[], []]);
    expect(store.get().waiting).toMatchObject([
      { kind: "follow", canTake, doubt: expect.stringMatching(doubt) },
    ]);
  },
);

it("says of marks that the clip is another file now", async () => {
  const about = { ...followed.about!, clipVersion: "other" } as JobReply["about"];
  const { store, parts } = bench([{ ...followed, about }]);
  void takeUpJobs(parts);
  await settle();
  expect(store.get().waiting[0]!.doubt).toContain("another file");
});

it("takes or discards what was offered, as the person says", async () => {
  const moved: Session = { ...session, shots: [{ ...session.shots[0]!, marks: [{ ...hand, x: 1 }] }] };
  for (const what of ["take", "discard"] as const) {
    const { store, parts, edits, taken, save } = bench([followed], moved);
    void takeUpJobs(parts);
    await settle();
    void settleOffer(parts, store.get().waiting[0]!, what);
    await settle();
    expect([edits.length, store.get().waiting]).toEqual([what === "take" ? 1 : 0, []]);
    await save();
    expect(taken).toEqual(["j"]);
  }
});

it("offers a tuning as not taken, and takes it as one step, telling of it as one just made", async () => {
  const { store, parts, edits, taken, save, notices } = bench([tuned]);
  void takeUpJobs(parts);
  await settle();
  const [offered] = store.get().waiting;
  expect([edits, taken, offered!.doubt, offered!.canTake]).toEqual([[], [], null, true]);
  expect(notices[0]!.cause).toMatch(/^The launcher was tuned on one shot while this window was closed/);
  void settleOffer(parts, offered!, "take");
  await settle();
  const { tuning } = firstOf(sessionOf(store.get()));
  expect(tuning).toMatchObject({ ...request, use: false, tuned: { values: [{ value: 12, u: 1 }] } });
  expect(toldOf(tuning!.tuned!)?.tuning.chiSquare).toBe(18);
  await save();
  expect(taken).toEqual(["j"]);
});

it("says of a tuning that what it rests on has been changed since", async () => {
  const heavier = applyEdit(session, {
    kind: "update-airframe",
    airframeId: session.airframes[0]!.id,
    patch: { massKg: { value: 9, u: 1 } },
  });
  const { store, parts } = bench([tuned], heavier);
  void takeUpJobs(parts);
  await settle();
  expect(store.get().waiting[0]!.doubt).toMatch(/has been changed since/);
});

it("shows a drawn result once the shots are measured, and only of what is still so", async () => {
  const result = { shotId: shot!.id, measurement: {}, notices: [] } as unknown as ShotResult;
  const about = {
    kind: "draw",
    shotId: shot!.id,
    draws: 1000,
    restsOn: shotRestsOn(session, shot!.id),
  } as const;
  const drawn: JobReply = { ...BLANK, kind: "draw", about, drawn: result };
  const { store, parts, taken } = bench([drawn]);
  store.set({ ...store.get(), measuring: "behind" });
  void takeUpJobs(parts);
  await settle();
  expect(store.get().results).toEqual({});
  store.set({ ...store.get(), measuring: "settled" });
  await settle();
  expect([store.get().results[shot!.id], taken]).toEqual([result, ["j"]]);

  const other = bench([{ ...drawn, about: { ...about, restsOn: "other" } }]);
  void takeUpJobs(other.parts);
  await settle();
  expect([other.store.get().results, other.notices[0]!.remedy, other.taken]).toEqual([
    {},
    "Draw them again.",
    ["j"],
  ]);
});

it("shows a job that runs, with its progress, and stops it when told", async () => {
  const running: JobReply = { ...followed, state: "running", fraction: 0.5, doing: "Following the nose" };
  const { store, parts, edits } = bench(
    [running],
    session,
    ({ signal, onProgress }) =>
      new Promise((resolve) => {
        onProgress?.(running);
        signal?.addEventListener("abort", () => resolve({ ...running, state: "cancelled" }));
      }),
  );
  void takeUpJobs(parts);
  await settle();
  expect(store.get().jobs).toMatchObject([{ doing: "Following the nose", fraction: 0.5 }]);
  parts.jobs.stop(store.get().jobs[0]!.key);
  await settle();
  expect([store.get().jobs, edits]).toEqual([[], []]);
});

it("leaves alone what another window takes or has taken", async () => {
  for (const part of [{ heldElsewhere: true }, { taken: true }]) {
    const { store, parts, edits, notices } = bench([followed], session, async () => ({
      ...followed,
      ...part,
    }));
    void takeUpJobs(parts);
    await settle();
    expect([edits, notices, store.get().waiting]).toEqual([[], [], []]);
  }
});

it("tells of a job that failed meanwhile", async () => {
  const { parts, notices } = bench([followed], session, async () => {
    throw new Error("the clip is gone");
  });
  await takeUpJobs(parts);
  expect(notices[0]!.cause).toContain("the clip is gone");
});
