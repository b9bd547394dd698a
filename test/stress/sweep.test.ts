import { describe, expect, it } from "vitest";
import { createChance } from "../../src/shared/quantity/chance.ts";
import { drawnMutations, everyNumber, everySwap, mutated, mutationText } from "./mutations.ts";
import { type SweepSession, sweepSessions } from "./sweep-sessions.ts";
import { failureOf } from "./sweep-verdict.ts";
import { trial } from "./trial.ts";

/*
 * A sample of the sweep that `npm run stress` makes at length: whatever is done to a document, it ends
 * in a result, a notice or a refusal that names the field. No clock decides here; a document that
 * never ends stops the run.
 */
const SEED = 2026;
const DRAWN = 12; // of each session; with the rest some 30 s at rest
const GIVEN_UP_MS = 600_000; // on a machine busy with much else; nothing waits for it
const NO_CLOCK = () => 0;

describe("mutations", () => {
  it("are every number times each factor, and every value in each other form", () => {
    const document = { a: 2, list: [3, 1], text: "x", yes: true };
    expect(everyNumber(document, [0, -1]).map((one) => mutationText([one]))).toEqual([
      "a × 0",
      "a × -1",
      "list[0] × 0",
      "list[0] × -1",
      "list[1] × 0",
      "list[1] × -1",
    ]);
    const swaps = everySwap(document).map((one) => mutated(document, [one]));
    expect(swaps).toContainEqual({ ...document, list: [1, 3] });
    expect(swaps).toContainEqual({ list: [3, 1], text: "x", yes: true });
    expect(swaps).toContainEqual({ ...document, a: "2" });
    expect(swaps).toContainEqual({ ...document, yes: false });
    expect(document).toEqual({ a: 2, list: [3, 1], text: "x", yes: true });
  });

  it("change one place, also where two hold the same object", () => {
    const rate = { value: 240 };
    const changed = mutated({ clock: rate, camera: rate }, [{ path: ["clock", "value"], change: "× 0" }]);
    expect(changed).toEqual({ clock: { value: 0 }, camera: { value: 240 } });
  });
});

describe.each(sweepSessions().map((one) => [one.name, one] as const))(
  "mutations of %s",
  (name, { session, facts }) => {
    it(
      "all end in a result, a notice or a refusal that names the field",
      async () => {
        const chance = createChance(SEED + name.length);
        for (let i = 0; i < DRAWN; i++) {
          const mutations = drawnMutations(session, chance);
          const steps = i % 6 === 0 ? (["open", "measure", "tune"] as const) : (["open", "measure"] as const);
          const outcome = await trial(mutated(session, mutations), facts, steps, NO_CLOCK);
          expect(failureOf(session, mutations, outcome), mutationText(mutations)).toBeNull();
        }
      },
      GIVEN_UP_MS,
    );
  },
);

describe("a refusal", () => {
  const [{ session }] = sweepSessions() as [SweepSession];
  const refused = (refusal: string) => ({ steps: [], refusal, codes: [] });
  const gone = [{ path: ["points", 1], change: "left out" }];

  it("may name what refers to the entry that was taken away", () => {
    const { id } = session.points[1]!;
    expect(failureOf(session, gone, refused(`shots[0].marks[3].pointId: no point "${id}".`))).toBeNull();
  });

  it("may name what refers to a launcher or an airframe that is gone", () => {
    const all = [{ path: ["launchers"], change: "emptied" }];
    const { id } = session.launchers[0]!;
    expect(failureOf(session, all, refused(`shots[0].launcherId: no launcher "${id}".`))).toBeNull();
    expect(failureOf(session, all, refused('shots[0].airframeId: no airframe "other".'))).not.toBeNull();
  });

  it("may name the field where it stands once an entry before it is gone", () => {
    const two = [
      { path: ["points", 5, "id"], change: "left out" },
      { path: ["points", 0], change: "left out" },
    ];
    expect(failureOf(session, two, refused("points[4].id: nothing where text is wanted."))).toBeNull();
    expect(failureOf(session, two, refused("points[3].id: nothing where text is wanted."))).not.toBeNull();
  });

  it("may not name something else", () => {
    const { id } = session.points[0]!;
    const outcome = refused(`shots[0].marks[3].pointId: no point "${id}".`);
    expect(failureOf(session, gone, outcome)).toContain("without naming the field");
    expect(failureOf(session, [{ path: ["title"], change: "as null" }], outcome)).not.toBeNull();
  });
});

describe("the slips that stopped everything", () => {
  const [, ram, rocket] = sweepSessions();
  it.each([
    ["a conductance a thousand times too large", ram!, "launchers.0.valve.conductance.value", 1000],
    ["no lamp interval at all", ram!, "shots.0.lamp.intervalS.value", 1e6],
    ["a motor that burns for hours", rocket!, "launchers.0.motors.1.thrust.riseS.value", 1e6],
    ["an uncertainty beyond all numbers", rocket!, "airframes.0.centreOfGravity.aboveM.u", 1e150],
  ])(
    "%s",
    async (_, { session, facts }, path, factor) => {
      const steps = path.split(".").map((step) => (/^\d+$/.test(step) ? Number(step) : step));
      const mutations = [{ path: steps, change: `× ${factor}` }];
      const outcome = await trial(mutated(session, mutations), facts, ["open", "measure"], NO_CLOCK);
      expect(failureOf(session, mutations, outcome)).toBeNull();
      expect(outcome.codes).toContain("impossible-input");
    },
    GIVEN_UP_MS,
  );
});
