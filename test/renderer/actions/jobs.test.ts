import { expect, it } from "vitest";
import { createJobs } from "../../../src/renderer/actions/jobs.ts";
import { type AppState, emptyState } from "../../../src/renderer/app-state/app-state.ts";
import type { Service } from "../../../src/renderer/host/service.ts";
import { createStore } from "../../../src/renderer/store/store.ts";
import type { JobReply, JobRequest } from "../../../src/shared/api/job-contract.ts";
import { FaultError } from "../../../src/shared/quantity/notice.ts";
import { freshSession } from "../../../src/shared/session/fresh.ts";
import { faultOf } from "../../support/fault-of.ts";

const done = { id: "j", state: "done", about: null } as unknown as JobReply;

/**
 * A window whose document is saved once more between each two looks at it, and a service
 * that has the revision `has`.
 */
function bench(has: string, save: AppState["save"] = { status: "saved" }) {
  const store = createStore<AppState>({ ...emptyState(freshSession("t")), save });
  const asked: JobRequest[] = [];
  const shown: string[] = [];
  const service = {
    async job(request: JobRequest) {
      asked.push(request);
      if (request.kind === "draw" && request.document.revision === has) return done;
      throw new FaultError("session-moved-on", "It has been changed.", "Wait.");
    },
  } as unknown as Service;
  let saves = 0;
  const jobs = createJobs(store, service, {
    saveNow: async () => {},
    present() {},
    async named() {
      shown.push(...store.get().jobs.map(({ doing }) => doing));
      return { revision: `r${++saves}`, steps: [] };
    },
  });
  const run = () =>
    jobs.runOnDocument("k", (document) => ({ kind: "draw", document, shotId: "s", draws: 100 }));
  return { store, asked, shown, run };
}

it("names the document again when a save came in between, and is seen from the start", async () => {
  const { store, asked, shown, run } = bench("r2");
  expect(await run()).toBe(done);
  expect(asked.map((request) => request.kind === "draw" && request.document.revision)).toEqual(["r1", "r2"]);
  expect([shown, store.get().jobs]).toEqual([["Saving the session", "Saving the session"], []]);
});

it("tells after some tries, and at once in a conflict, that the folder has another session", async () => {
  const never = bench("none of them");
  expect((await faultOf(never.run())).code).toBe("session-moved-on");
  expect(never.asked).toHaveLength(3);
  const fault = { code: "session-changed", cause: "", remedy: "" } as const;
  const conflict = bench("none of them", { status: "conflict", fault });
  expect((await faultOf(conflict.run())).code).toBe("session-moved-on");
  expect(conflict.asked).toHaveLength(1);
});
