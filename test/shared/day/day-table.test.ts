import { describe, expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { DAY_COLUMNS, type DayColumn, type DayShot } from "../../../src/shared/day/day-columns.ts";
import {
  arranged,
  cellText,
  cellWithUnit,
  dayCsv,
  dayText,
  headOf,
} from "../../../src/shared/day/day-table.ts";
import type { Measured } from "../../../src/shared/quantity/measured.ts";
import { CLIP_NOTICES } from "../../../src/shared/results/notices/clip-notices.ts";
import type { ShotResult } from "../../../src/shared/results/shot-result.ts";
import { launchInputs } from "../../../src/shared/session/launch-inputs.ts";
import { firstOf } from "../../support/one-of-each.ts";

const session = exampleSession(1);
const time = (ms: number) => `t${ms}`;
const column = (id: string): DayColumn => DAY_COLUMNS.find((one) => one.id === id)!;

function resultOf(speed: Measured, predicted: Measured | null): ShotResult {
  const quantity = (value: Measured, unit: string) => ({ ...value, unit, how: "" });
  return {
    shotId: "x",
    measurement: {
      quantities: {
        releaseSpeed: quantity(speed, "m/s"),
        pitchRateAtRelease: quantity({ value: 0.5, u: 0.02 }, "rad/s"),
      },
    },
    prediction: predicted === null ? null : { quantities: { releaseSpeed: quantity(predicted, "m/s") } },
    comparison:
      predicted === null
        ? null
        : {
            differences: [
              {
                name: "releaseSpeed",
                difference: { value: predicted.value - speed.value, u: Math.hypot(predicted.u, speed.u) },
              },
            ],
          },
    notices: [CLIP_NOTICES["another-clip"]("a.mp4")],
  } as unknown as ShotResult;
}

function dayShot(number: number, name: string, bar: number | null, result: ShotResult | null): DayShot {
  const [first] = session.shots;
  const gaugePressurePa = bar === null ? null : { value: bar * 1e5, u: 5e3 };
  const shot = { ...first!, id: `s${number}`, name, conditions: { ...first!.conditions, gaugePressurePa } };
  return { shot, number, launch: launchInputs(session, shot), clipMs: 1000 * number, result };
}

const shots = [
  dayShot(1, "Shot 1", 8, resultOf({ value: 14.2, u: 0.06 }, { value: 15, u: 0.3 })),
  dayShot(2, "Shot 10", 4, resultOf({ value: 9.04, u: 0.05 }, null)),
  dayShot(3, "=cold, shot", null, null),
];
const [warm, slow, cold] = shots as [DayShot, DayShot, DayShot];
const names = (all: readonly DayShot[]) => all.map(({ shot }) => shot.name);

it("shows value ± u below a head that has the unit, in the person's units", () => {
  const speed = column("release-speed");
  expect([headOf(speed, "SI"), cellText(speed, warm, "SI", time)]).toEqual([
    "Release speed, m/s",
    "14.20 ± 0.06",
  ]);
  // 14.2 m/s over 0.3048 m: 46.588 ft/s; 0.06 over 0.3048: 0.197
  expect([headOf(speed, "field"), cellText(speed, warm, "field", time)]).toEqual([
    "Release speed, ft/s",
    "46.59 ± 0.20",
  ]);
  expect(cellWithUnit(column("pressure"), warm, "SI", time)).toBe("8.00 ± 0.05 bar");
  expect(cellText(column("difference"), warm, "SI", time)).toBe("+0.8 ± 0.3");
  // 0.5 rad/s is 28.65 °/s, 0.02 rad/s 1.146 °/s
  expect(cellText(column("pitch-rate"), warm, "SI", time)).toBe("+28.6 ± 1.1");
  expect(cellText(column("notices"), warm, "SI", time)).toBe("1 refusal");
});

it("leaves empty what is not known, and takes airframe and launcher as the shot has them", () => {
  expect(
    ["release-speed", "predicted", "difference", "pressure", "notices"].map((id) =>
      cellText(column(id), cold, "SI", time),
    ),
  ).toEqual(["", "", "", "", ""]);
  expect(cellText(column("predicted"), slow, "SI", time)).toBe("");
  expect(cellText(column("airframe"), cold, "SI", time)).toBe(firstOf(session).airframe.name);
  expect(cellText(column("launcher"), cold, "SI", time)).toBe(firstOf(session).launcher!.name);
});

describe("in order", () => {
  const by = (id: string, down: boolean) =>
    names(arranged(shots, DAY_COLUMNS, "", { by: id, down }, "SI", time));
  it("sorts numbers as numbers, shots without one last whichever way", () => {
    expect(by("pressure", false)).toEqual(["Shot 10", "Shot 1", "=cold, shot"]);
    expect(by("pressure", true)).toEqual(["Shot 1", "Shot 10", "=cold, shot"]);
  });
  it("sorts names with their numbers as a person counts", () => {
    expect(by("name", false)).toEqual(["=cold, shot", "Shot 1", "Shot 10"]);
    expect(by("time", true)).toEqual(["=cold, shot", "Shot 10", "Shot 1"]);
  });
  it("keeps the order of the session for a column that is not there", () => {
    expect(by("no such column", true)).toEqual(names(shots));
  });
});

it("finds shots by every word in any shown cell, whatever the case", () => {
  const found = (filter: string, columns = DAY_COLUMNS) =>
    names(arranged(shots, columns, filter, null, "SI", time));
  expect(found("  SHOT 14.20 ")).toEqual(["Shot 1"]);
  expect(found("refusal 9.04")).toEqual(["Shot 10"]);
  expect(found("refusal", [column("name")])).toEqual([]);
});

it("gives the table as text with units at the head, one row a line", () => {
  const columns = [column("name"), column("release-speed")];
  expect(dayText([warm, cold], columns, "SI", time)).toBe(
    "Shot\tRelease speed, m/s\nShot 1\t14.20 ± 0.06\n=cold, shot\t",
  );
});

it("gives CSV in SI, u in columns of their own, and text that no spreadsheet runs", () => {
  const columns = [column("name"), column("time"), column("pressure")];
  expect(dayCsv([warm, cold], columns)).toBe(
    'name,clip_written,gauge_pressure_pa,u_gauge_pressure_pa\r\nShot 1,1970-01-01T00:00:01.000Z,800000,5000\r\n"\'=cold, shot",1970-01-01T00:00:03.000Z,,\r\n',
  );
});
