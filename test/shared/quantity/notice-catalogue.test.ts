import { describe, expect, it } from "vitest";
import { asFault, type Notice } from "../../../src/shared/quantity/notice.ts";
import {
  type CodeOf,
  danger,
  isOf,
  note,
  noticeCatalogue,
  refusal,
  warning,
} from "../../../src/shared/quantity/notice-catalogue.ts";

const TANK = noticeCatalogue(
  { about: "model", beside: "pressure" },
  {
    "folder-busy": (bar: number) => refusal(`It holds ${bar} bar.`, "Vent it."),
    leaks: () => note("It leaks.", "Listen."),
    moved: () => ({ ...warning("It moved.", "Move it back."), about: "scale", path: "shots[0].scale" }),
  },
);
const OTHER = noticeCatalogue({ about: "clock" }, { late: () => danger("It is late.", "Wait.") });

describe("noticeCatalogue", () => {
  it("gives each notice its code, its texts from values, and the place of the catalogue", () => {
    expect(TANK["folder-busy"](4)).toEqual({
      level: "refusal",
      code: "folder-busy",
      cause: "It holds 4 bar.",
      remedy: "Vent it.",
      about: "model",
      beside: "pressure",
    });
    expect(OTHER.late()).toEqual({
      level: "danger",
      code: "late",
      cause: "It is late.",
      remedy: "Wait.",
      about: "clock",
    });
  });

  it("lets a notice say another place, and the field it speaks of", () => {
    expect(TANK.moved()).toMatchObject({ about: "scale", beside: "pressure", path: "shots[0].scale" });
  });

  it("tells a code that nothing says, and a value of another kind, as the program is compiled", () => {
    const notices: readonly Notice<CodeOf<typeof TANK>>[] = [TANK.leaks()];
    // @ts-expect-error: no notice of this catalogue has the code
    expect(notices.some(({ code }) => code === "leeks")).toBe(false);
    // @ts-expect-error: nor is it one of another catalogue's
    const other: Notice<CodeOf<typeof TANK>> = OTHER.late();
    // @ts-expect-error: the text takes a number
    const worded = () => TANK["folder-busy"]("4 bar");
    expect([other.code, typeof worded]).toEqual(["late", "function"]);
  });
});

it("isOf tells the notices of a catalogue from others, and from what every object has", () => {
  expect(isOf(TANK, TANK.leaks())).toBe(true);
  expect(isOf(TANK, OTHER.late())).toBe(false);
  expect(isOf(TANK, { ...OTHER.late(), code: "toString" })).toBe(false);
});

it("asFault keeps what a notice says, without its place", () => {
  expect(asFault(TANK["folder-busy"](4))).toEqual({
    code: "folder-busy",
    cause: "It holds 4 bar.",
    remedy: "Vent it.",
  });
});
