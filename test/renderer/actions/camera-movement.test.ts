import { expect, it } from "vitest";
import { createCameraMovement } from "../../../src/renderer/actions/camera-movement.ts";
import { type AppState, emptyState } from "../../../src/renderer/app-state/app-state.ts";
import { createStore } from "../../../src/renderer/store/store.ts";
import type { JobReply, JobRequest } from "../../../src/shared/api/job-contract.ts";
import { FaultError } from "../../../src/shared/quantity/notice.ts";
import type { Edit } from "../../../src/shared/session/edits.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";
import type { Movement, Shot } from "../../../src/shared/session/schema.ts";
import { trueMovement, variantFacts } from "../../main/example/variant-facts.ts";

const FACTS = { ...variantFacts("pan"), name: "a.mp4" };
const MOVEMENT: Movement = trueMovement("pan", 0);

/** A window with shots of one clip each; `answer` is what a job of a kind comes to. */
function bench(shots: readonly Shot[], answer: (request: JobRequest) => Partial<JobReply>) {
  const session = { ...freshSession(""), shots: [...shots] };
  const known = Object.fromEntries(
    shots.map(({ clip }) => [clip, { status: "known", facts: { ...FACTS, name: clip! }, fingerprint: null }]),
  );
  const state = { ...emptyState(session), phase: "ready", known, shotId: shots[0]!.id } as AppState;
  const store = createStore(state);
  const [asked, measured, timers]: [JobRequest[], string[], (() => void)[]] = [[], [], []];
  const edits: Edit[] = [];
  const run = async (_key: string, request: JobRequest) => {
    asked.push(request);
    return answer(request) as JobReply;
  };
  const movement = createCameraMovement({
    store,
    jobs: { run, runOnDocument: (key, request) => run(key, request({ revision: "r", steps: [] })) },
    later: (timer) => {
      timers.push(timer);
      return () => {};
    },
    measure: (clip) => measured.push(clip),
    change: (edit) => edits.push(edit),
    onFault: () => {},
  });
  const rest = async () => {
    while (timers.length > 0) {
      timers.shift()!();
      for (let turn = 0; turn < 20; turn++) await Promise.resolve();
    }
  };
  return { movement, store, asked, measured, edits, rest };
}

const shot = (id: string, patch: Partial<Shot> = {}): Shot => ({
  ...freshShot(id, id, null),
  clip: `${id}.mp4`,
  ...patch,
});
const seen = { asked: [0, 1, 2], frames: MOVEMENT.frames.slice(0, 3) };

it("looks at the clip of each shot once, the whole of it while nothing is marked, and measures again", async () => {
  const { movement, store, asked, measured, rest } = bench([shot("a"), shot("b")], () => ({ camera: seen }));
  movement.look();
  movement.look();
  await rest();
  const last = FACTS.pts.length - 1;
  expect(asked).toEqual(["a.mp4", "b.mp4"].map((clip) => ({ kind: "look", clip, from: 0, to: last })));
  expect(measured).toEqual(["a.mp4", "b.mp4"]);
  expect(store.get().known["a.mp4"]).toMatchObject({ facts: { camera: seen } });
});

it("looks at each shot of one clip by itself, and keeps what it saw of the others", async () => {
  const marked = (id: string, ...frames: number[]): Shot => ({
    ...shot(id),
    clip: "a.mp4",
    marks: frames.map((frame) => ({ pointId: "nose", frame, x: 1, y: 1, u: 1, by: "hand" as const })),
  });
  const looks = (request: JobRequest): Partial<JobReply> => {
    if (request.kind !== "look") return {};
    const { from, to } = request;
    return {
      camera: { asked: [from, from + 1, to], frames: [{ ...MOVEMENT.frames[0]!, frame: from }] },
    };
  };
  const { movement, store, asked, rest } = bench([marked("a", 10, 20), marked("b", 100, 130)], looks);
  movement.look();
  expect(store.get().looking).toBe(true);
  await rest();
  expect(store.get().looking).toBe(false);
  expect(asked).toEqual([
    { kind: "look", clip: "a.mp4", from: 5, to: 25 },
    { kind: "look", clip: "a.mp4", from: 95, to: 135 },
  ]);
  const known = store.get().known["a.mp4"];
  expect(known).toMatchObject({ facts: { camera: { asked: [5, 6, 25, 95, 96, 135] } } });
});

it("does not look where the movement is taken out already", async () => {
  const { movement, asked, rest } = bench([shot("a", { movement: MOVEMENT })], () => ({ camera: seen }));
  movement.look();
  await rest();
  expect(asked).toEqual([]);
});

it("looks again only where too few frames of the launch were seen", async () => {
  const marks = [100, 130].map((frame) => ({
    pointId: "nose",
    frame,
    x: 1,
    y: 1,
    u: 1,
    by: "hand" as const,
  }));
  const { movement, asked, rest } = bench([shot("a", { marks })], () => ({ camera: seen }));
  movement.look();
  await rest();
  movement.look();
  await rest();
  expect(asked).toEqual([{ kind: "look", clip: "a.mp4", from: 95, to: 135 }]);
});

it("says that nothing was seen when the look fails", async () => {
  const { movement, store, rest } = bench([shot("a")], () => {
    throw new FaultError("clip-missing", "It is gone.", "Put it back.");
  });
  movement.look();
  await rest();
  expect(store.get().known["a.mp4"]).toMatchObject({
    facts: { camera: { asked: [0, FACTS.pts.length - 1], frames: [] } },
  });
});

it("takes a movement into the document, and leaves it when the work was stopped", async () => {
  const done = bench([shot("a")], () => ({ movement: MOVEMENT }));
  await done.movement.takeOut("a");
  expect(done.edits).toEqual([{ kind: "update-shot", shotId: "a", patch: { movement: MOVEMENT } }]);
  const stopped = bench([shot("a")], () => ({ movement: null, state: "cancelled" }));
  await stopped.movement.takeOut("a");
  expect(stopped.edits).toEqual([]);
});
