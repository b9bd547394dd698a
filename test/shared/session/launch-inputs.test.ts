import { describe, expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { predictionFaults } from "../../../src/shared/session/input-faults.ts";
import { launchInputs } from "../../../src/shared/session/launch-inputs.ts";
import type { Session, Shot } from "../../../src/shared/session/schema.ts";
import { firstOf } from "../../support/one-of-each.ts";

const example = exampleSession(1);
const [shot] = example.shots;
const frozen = (id: string): Shot => ({
  ...shot!,
  id,
  conditions: { ...shot!.conditions, temperatureK: { value: -1, u: 0 } },
});
const session: Session = { ...example, shots: [frozen("a"), frozen("b")] };
const placesOf = (one: Shot) =>
  predictionFaults(launchInputs(session, one)).map(({ path }) => path.slice(0, 3).join(" "));

describe("launchInputs", () => {
  it("holds the session's launcher and airframe, and the air of the one shot", () => {
    const { units } = session;
    const { launcher, airframe } = firstOf(session);
    const { conditions } = session.shots[1]!;
    expect(launchInputs(session, session.shots[1]!)).toMatchObject({ launcher, airframe, units, conditions });
  });

  it("tells where in the document the shot's numbers stand, and looks at no other's", () => {
    expect(placesOf(session.shots[0]!)).toEqual(["shots 0 conditions"]);
    expect(placesOf(session.shots[1]!)).toEqual(["shots 1 conditions"]);
  });

  it("takes a shot that is only to be added, as the first", () => {
    expect(placesOf(frozen("c"))).toEqual(["shots 0 conditions"]);
  });
});
