import { expect, it } from "vitest";
import {
  altimeterNotices,
  boostNotices,
  fillNotices,
  firstObstacle,
  flightNotices,
  noticesFor,
  pressureNotices,
  pullNotices,
  stopNotices,
  tableNotices,
} from "../../../src/renderer/ledger/notices.ts";
import type { Notice } from "../../../src/shared/quantity/notice.ts";

const notice = (code: string, level: Notice["level"] = "note"): Notice => ({
  code,
  level,
  cause: code,
  remedy: "",
});
const all = [
  notice("no-launcher", "refusal"),
  notice("no-scale", "refusal"),
  notice("never-moves", "refusal"),
  notice("plastic-pipe", "danger"),
  notice("not-heard-of"),
];

it("puts each notice under one heading, one not heard of under Motion, and none that the heading's sentence says", () => {
  expect(noticesFor("scale", all)).toEqual([]);
  expect(noticesFor("model", all).map(({ code }) => code)).toEqual(["never-moves"]);
  expect(noticesFor("motion", all).map(({ code }) => code)).toEqual(["not-heard-of"]);
});

it("keeps what belongs to the pressure for the pressure's own place", () => {
  expect(pressureNotices(all).map(({ code }) => code)).toEqual(["plastic-pipe"]);
});

it("names what keeps the measurement away, not what keeps the model away", () => {
  expect(firstObstacle(all)?.code).toBe("no-scale");
  expect(firstObstacle([notice("no-launcher", "refusal")])).toBeNull();
});

it("puts what is said of drops, lamps, rods, planes and posts under the heading where it is mended", () => {
  const codes = [
    "drop-not-falling",
    "lamp-uneven",
    "blurred",
    "rods-disagree",
    "plane-too-few-points",
    "shake-disagrees",
  ];
  const of = (step: Parameters<typeof noticesFor>[0]) =>
    noticesFor(
      step,
      codes.map((code) => notice(code, "warning")),
    ).map(({ code }) => code);
  expect(of("clock")).toEqual(["drop-not-falling", "lamp-uneven", "blurred"]);
  expect(of("scale")).toEqual(["rods-disagree", "plane-too-few-points"]);
  expect(of("marks")).toEqual(["shake-disagrees"]);
});

it("puts what is said of a rocket boost under Model, and leaves the facts of its motors to the motors", () => {
  const notices = [
    notice("rocket-never-leaves", "refusal"),
    notice("rocket-turns", "warning"),
    notice("rocket-class"),
  ];
  expect(noticesFor("model", notices).map(({ code }) => code)).toEqual([
    "rocket-never-leaves",
    "rocket-turns",
  ]);
  expect(noticesFor("motion", notices)).toEqual([]);
  expect(firstObstacle(notices)).toBeNull();
});

it("keeps loads of end stop and base, and what the pump cannot do, for the fields they belong to", () => {
  const some = ["end-stop-over", "base-pull-near", "pump-cannot-reach", "end-stop", "stalls"].map((code) =>
    notice(code, "warning"),
  );
  const codes = (notices: readonly Notice[]) => notices.map(({ code }) => code);
  expect(codes(stopNotices(some))).toEqual(["end-stop-over", "base-pull-near"]);
  expect(codes(fillNotices(some))).toEqual(["pump-cannot-reach"]);
  expect(codes(noticesFor("model", some))).toEqual(["stalls"]);
  expect(codes(noticesFor("verdict", some))).toEqual(["end-stop"]);
  expect(codes(noticesFor("motion", some))).toEqual([]);
});

it("keeps what a drawn line can do, what its tables say, what a boost leaves out, altimeter and first seconds for their own places", () => {
  const some = [
    "elastic-whip",
    "elastic-energy",
    "rocket-no-drag",
    "altimeter-differs",
    "after-below-stall",
    "elastic-no-unloading",
    "below-stall",
  ].map((code) => notice(code, "warning"));
  const codes = (notices: readonly Notice[]) => notices.map(({ code }) => code);
  expect(codes(pullNotices(some))).toEqual(["elastic-whip"]);
  expect(codes(tableNotices(some))).toEqual(["elastic-energy"]);
  expect(codes(boostNotices(some))).toEqual(["rocket-no-drag"]);
  expect(codes(altimeterNotices(some))).toEqual(["altimeter-differs"]);
  expect(codes(flightNotices(some))).toEqual(["after-below-stall"]);
  expect(codes(noticesFor("model", some))).toEqual(["elastic-no-unloading"]);
  expect(codes(noticesFor("verdict", some))).toEqual(["below-stall"]);
});
