import { describe, expect, it } from "vitest";
import { chartOfNextShot } from "../../../src/shared/figures/chart-of-next-shot.ts";
import { figureSvg } from "../../../src/shared/figures/figure-svg.ts";
import { LOOKS } from "../../../src/shared/figures/look.ts";
import { textWidthPx } from "../../../src/shared/figures/text-width.ts";
import { nextShot } from "../../../src/shared/next-shot/next-shot.ts";
import type { ShotSpeed } from "../../../src/shared/next-shot/repeats.ts";
import { ramSession, ramShot, WING } from "../next-shot/ram-session.ts";
import { all, parseXml, textOf } from "./well-formed.ts";

const speeds = [4e5, 5e5, 5e5].map(
  (value, i): ShotSpeed => ({
    shotId: `shot-${i}`,
    name: "",
    gaugePa: { value, u: 5000 },
    speed: { value: 13 + i, u: 0.1 },
    ownU: 0.05,
    commonU: 0.08,
  }),
);
const session = ramSession({}, { ...WING, loadLimitG: { value: 36, u: 1 } }, 1);
const ask = { speedMPerS: { value: 14, u: 0.3 }, choose: "pressure", leastStallMargin: 1.2 } as const;
const report = nextShot(session, ramShot({ value: 5e5, u: 5000 }), ask, speeds);
const chart = chartOfNextShot(report, "SI")!;
const options = { theme: "light", width: 420, height: 320, fontFamily: "Inter, sans-serif" } as const;

describe("chartOfNextShot", () => {
  it("puts measured shots at their pressure in bar with bars of two u, and the answer where the model meets the wanted speed", () => {
    expect(chart.shots[0]).toEqual({
      at: [expect.closeTo(4, 12), 13],
      halfX: expect.closeTo(0.1, 12),
      halfY: expect.closeTo(0.2, 12),
    });
    expect(chart.shots).toHaveLength(3);
    expect(chart.answer!.at[0]).toBeCloseTo(report.answer!.setting.value / 1e5, 12);
    expect(chart.answer!.text).toMatch(/^\d\.\d+ ± [\d.]+ bar$/);
  });

  it("gives the model a band of ± 2 u, read off the report", () => {
    const [x, value, low, high] = chart.model[0]!.points[5]!;
    const at = report.curve[0]!.find((one) => Math.abs(one.x / 1e5 - x) < 1e-9)!;
    expect(value).toBe(at.speed);
    expect([value - low, high - value]).toEqual([expect.closeTo(2 * at.u, 12), expect.closeTo(2 * at.u, 12)]);
    expect(at.u).toBeGreaterThan(0.01);
  });

  it("has the wanted speed with its tolerance, the stall's line, and the load limit's end", () => {
    expect(chart.levels.map(({ kind, label, half }) => [kind, label, half])).toEqual([
      ["wanted", "wanted", 0.3],
      ["stall", "1.2 × stall", 0],
    ]);
    expect(chart.ends.map(({ label }) => label)).toContain("load limit");
    const load = report.ends.find(({ name }) => name === "load")!;
    expect(chart.ends.find(({ label }) => label === "load limit")!.from).toBeCloseTo(load.from / 1e5, 9);
    expect(chart.caption).toContain("Shaded");
  });

  it("speaks the field set's units", () => {
    const field = chartOfNextShot(report, "field")!;
    expect([field.x.unit, field.y.unit]).toEqual(["psi", "ft/s"]);
    expect(field.shots[0]!.at[0]).toBeCloseTo(4e5 / 6894.757293168361, 9);
    expect(field.shots[0]!.halfY).toBeCloseTo(0.2 / 0.3048, 9);
  });

  it("over mass shows only shots at the shot's own pressure, where the mass is now", () => {
    const shot = { ...ramShot({ value: 5e5, u: 5000 }), id: "shot-1" };
    const mass = chartOfNextShot(nextShot(session, shot, { ...ask, choose: "mass" }, speeds), "SI")!;
    expect(mass.shots.map(({ at }) => at)).toEqual([
      [1.2, 14],
      [1.2, 15],
    ]);
  });

  it("is null where nothing launches", () => {
    const stuck = ramSession({ breakawayN: { value: 1e6, u: 0 } });
    expect(chartOfNextShot(nextShot(stuck, ramShot({ value: 5e5, u: 0 }), ask, []), "SI")).toBeNull();
  });
});

describe("figureSvg of a chart", () => {
  const svg = parseXml(figureSvg(chart, options));

  it("labels directly: axes with symbol and unit, lines, ends, the answer", () => {
    const texts = all(svg, "text").map(textOf);
    expect(texts).toEqual(
      expect.arrayContaining([
        "Release speed v, m/s",
        "Tank pressure, gauge p, bar",
        "predicted",
        "wanted",
        "1.2 × stall",
        "load limit",
        chart.answer!.text,
      ]),
    );
    expect(all(svg, "title").map(textOf)).toEqual(["Release speed over tank pressure, gauge"]);
  });

  it("rings each measured shot in the measured colour, and the answer in ink", () => {
    const rings = all(svg, "circle").map(({ attributes }) => attributes.stroke);
    expect(rings.filter((stroke) => stroke === LOOKS.light.measured)).toHaveLength(3);
    expect(rings.filter((stroke) => stroke === LOOKS.light.ink)).toHaveLength(1);
  });

  it("draws the wanted line through the answer's ring", () => {
    const ring = all(svg, "circle").find(({ attributes }) => attributes.stroke === LOOKS.light.ink)!;
    const wanted = all(svg, "path").find(
      ({ attributes }) => attributes.stroke === LOOKS.light.ink && attributes.fill === "none",
    )!;
    const y = Number(/^M[\d.]+,([\d.]+)L/.exec(wanted.attributes.d!)![1]);
    // paths are written to a tenth of a px
    expect(Math.abs(y - Number(ring.attributes.cy))).toBeLessThan(0.1);
  });

  it("keeps the answer's label on the chart at the ledger's narrowest", () => {
    const narrow = parseXml(figureSvg(chart, { ...options, width: 296, height: 231 }));
    const label = all(narrow, "text").find((text) => textOf(text) === chart.answer!.text)!;
    const right = all(narrow, "text").find((text) => textOf(text) === "wanted")!; // beside the plot
    const end = Number(label.attributes.x) + textWidthPx(chart.answer!.text, 11.5, true);
    expect(end).toBeLessThan(Number(right.attributes.x));
  });

  it.each(["SI", "field"] as const)(
    "is well-formed, without NaN, at every size and theme in %s units",
    (units) => {
      for (const choose of ["pressure", "mass", "stroke"] as const) {
        const of = chartOfNextShot(
          nextShot(session, ramShot({ value: 5e5, u: 5000 }), { ...ask, choose }, speeds),
          units,
        )!;
        for (const theme of ["light", "dark", "print"] as const) {
          for (const [width, height] of [
            [240, 180],
            [420, 320],
            [1000, 500],
          ] as const) {
            const text = figureSvg(of, { ...options, theme, width, height, caption: true });
            expect(text).not.toMatch(/NaN|Infinity/);
            expect(parseXml(text).name).toBe("svg");
          }
        }
      }
    },
  );
});
