import { describe, expect, it } from "vitest";
import { makeWriteUp } from "../../../src/main/write-up/make-write-up.ts";
import { pressureCautions, RAM_CAUTIONS } from "../../../src/shared/launch/ram/tank-cautions.ts";
import { SCALE_NOTICES } from "../../../src/shared/results/notices/scale-notices.ts";
import type { ShotNotice } from "../../../src/shared/results/notices/shot-notices.ts";
import { ResultsSchema, TruthSchema } from "../../../src/shared/results/results-schema.ts";
import type { ShotResult } from "../../../src/shared/results/shot-result.ts";
import type { RamLauncher } from "../../../src/shared/session/schema.ts";
import { SessionSchema } from "../../../src/shared/session/schema.ts";
import { invented, inventedWithoutPrediction } from "../../shared/figures/fixture.ts";
import { all, parseXml, textOf } from "../../shared/figures/well-formed.ts";
import { firstOf, oneOfEach } from "../../support/one-of-each.ts";
import { inventedFacts, inventedSession } from "./session-fixture.ts";

const unmeasured: ShotResult = {
  shotId: "shot-9",
  measurement: null,
  prediction: null,
  comparison: null,
  notices: [SCALE_NOTICES["no-scale"]("no-rods")],
};
const results = [invented("shot-3"), inventedWithoutPrediction(), unmeasured];
const session = inventedSession(results);
const facts = new Map([["C0001.mp4", inventedFacts("C0001.mp4")]]);
const madeAt = "2025-05-04T10:11:12Z";
const input = { session, results, facts, madeAt };

const files = await makeWriteUp(input);
const textOfFile = (name: string) => files.find((file) => file.name === name)!.text;
const rowsOf = (name: string) =>
  textOfFile(name)
    .trimEnd()
    .split("\r\n")
    .map((row) => row.split(","));

it("the invented session is a valid session", () => {
  expect(SessionSchema.safeParse(session).error).toBeUndefined();
});

it("makes the report, the tables, five figures for each measured shot, and the chart of both", () => {
  const kinds = ["position", "speed", "acceleration", "pitch", "pitch-rate"];
  expect(files.map((file) => file.name)).toEqual([
    "report.html",
    "results.json",
    "marks.csv",
    "motion.csv",
    ...kinds.map((kind) => `figures/shot-3-${kind}.svg`),
    ...kinds.map((kind) => `figures/shot-1-${kind}.svg`),
    "figures/next-shot.svg",
  ]);
});

it("gives the same text for the same input", async () => {
  expect(await makeWriteUp(input)).toEqual(files);
});

it("writes figures that are well-formed and carry their caption", () => {
  for (const file of files.filter(({ name }) => name.endsWith(".svg"))) {
    const svg = parseXml(file.text.trim());
    expect(textOf(svg), file.name).toMatch(/Solid: measured|Rings: measured shots/);
    expect(all(svg, "title")).toHaveLength(1);
  }
});

describe("results.json", () => {
  const json = JSON.parse(textOfFile("results.json"));

  it("fits its schema", () => {
    expect(ResultsSchema.safeParse(json).error).toBeUndefined();
  });

  it("holds every quantity in SI with u, unit and how, and the sources that make up u", () => {
    const [shot, , none] = json.shots;
    expect(shot.quantities).toEqual(results[0]!.measurement!.quantities);
    expect(shot.predicted).toEqual(results[0]!.prediction!.quantities);
    const u = Math.hypot(...shot.budget.releaseSpeed.map((line: { u: number }) => line.u));
    expect(u).toBeCloseTo(shot.quantities.releaseSpeed.u, 12);
    expect(none).toMatchObject({ id: "shot-9", quantities: {}, notices: unmeasured.notices });
  });

  it("is refused with a unit, a name or a u that is not of the format", () => {
    const broken = (change: (shot: (typeof json.shots)[number]) => void) => {
      const copy = structuredClone(json);
      change(copy.shots[0]);
      return ResultsSchema.safeParse(copy).success;
    };
    expect(broken(() => {})).toBe(true);
    expect(
      broken((shot) => {
        shot.quantities.releaseSpeed.unit = "km/h";
      }),
    ).toBe(false);
    expect(
      broken((shot) => {
        shot.quantities.releaseSpeed.u = -1;
      }),
    ).toBe(false);
    expect(
      broken((shot) => {
        shot.quantities.topSpeed = shot.quantities.releaseSpeed;
      }),
    ).toBe(false);
    expect(
      broken((shot) => {
        shot.quantities.releaseSpeed.note = "extra";
      }),
    ).toBe(true);
  });

  it("without its u is what truth.json holds", () => {
    const truth = {
      shots: [
        { id: "shot-3", quantities: { releaseSpeed: { value: 15, unit: "m/s" }, stroke: { value: 0.8 } } },
      ],
    };
    expect(TruthSchema.safeParse(truth).error).toBeUndefined();
    expect(TruthSchema.safeParse({ shots: [{ id: "a", quantities: { speed: { value: 1 } } }] }).success).toBe(
      false,
    );
  });
});

describe("marks.csv", () => {
  const [header, ...rows] = rowsOf("marks.csv");

  it("has one row a mark with its residual", () => {
    expect(header!.join()).toBe("shot,point,frame,time_s,x_px,y_px,u_px,by,dx_px,dy_px,z");
    expect(rows).toHaveLength(session.shots.reduce((sum, shot) => sum + shot.marks.length, 0));
    const residual = results[0]!.measurement!.residuals[0]!;
    expect(rows[0]).toEqual([
      "shot-3",
      "nose",
      "40",
      expect.any(String),
      "550.25",
      "440.75",
      "0.3",
      "hand",
      String(residual.dxPx),
      String(residual.dyPx),
      String(residual.z),
    ]);
  });

  it("gives time from release by the clock: frame 40 at 960 Hz, release at 0.1335 s", () => {
    expect(Number(rows[0]![3])).toBeCloseTo(40 / 960 - 0.1335, 12);
  });

  it("leaves time and residual empty where nothing was measured", async () => {
    const blank = { ...results[0]!, measurement: null };
    const made = await makeWriteUp({ ...input, results: [blank] });
    const row = made.find((file) => file.name === "marks.csv")!.text.split("\r\n")[1]!;
    expect(row).toBe("shot-3,nose,40,,550.25,440.75,0.3,hand,,,");
  });
});

it("motion.csv holds each curve beside its u, in SI", () => {
  const [header, ...rows] = rowsOf("motion.csv");
  const { curves } = results[0]!.measurement!;
  expect(header!.slice(0, 6)).toEqual([
    "shot",
    "time_s",
    "position_m",
    "u_position_m",
    "speed_m_per_s",
    "u_speed_m_per_s",
  ]);
  expect(header).toHaveLength(12);
  expect(rows).toHaveLength(2 * curves.timeS.length);
  expect(rows[100]!.slice(1).map(Number)).toEqual([
    curves.timeS[100],
    ...[curves.position, curves.speed, curves.acceleration, curves.pitch, curves.pitchRate].flatMap(
      (curve) => [curve.value[100], curve.u[100]],
    ),
  ]);
});

describe("report.html", () => {
  const page = textOfFile("report.html");
  const words = page
    .replace(/<style>[\s\S]*<\/style>/, "")
    .replace(/<[^>]+>/g, " ")
    .replace(/\s+/g, " ");

  it("stands alone: fonts inside, no script, no address to fetch, under 1.5 MB", () => {
    expect(page.match(/url\("data:font\/woff2;base64,/g)).toHaveLength(4);
    expect(page.match(/<script|<link|<img|@import|url\("?http|src="|href=/g)).toBeNull();
    expect(page.length).toBeLessThan(1.5e6);
  });

  it("stays under 1.5 MB for eight shots of 3000 samples", async () => {
    const long = Array.from({ length: 8 }, (_, i) => stretched(`long-${i}`, 3000));
    const made = await makeWriteUp({ session: inventedSession(long), results: long, facts, madeAt });
    expect(made[0]!.text.length).toBeLessThan(1.5e6);
  });

  it("says the four headline results with u and unit, and the verdict", () => {
    for (const text of ["14.96 ± 0.06 m/s", "243 ± 9 m/s²", "+31 ± 3 °/s, nose up", "29.39 ± 0.20°"]) {
      expect(words).toContain(text);
    }
    expect(words).toContain(results[0]!.comparison!.verdict);
  });

  it("compares measured with predicted and shows the shares of the budget", () => {
    expect(words).toContain("15.6 ± 0.3 m/s");
    expect(words).toContain("+19 ± 15 m/s²");
    expect(words).toContain("58 % ± 0.04 m/s");
  });

  it("says what is missing of a shot that could not be measured", () => {
    expect(words).toContain("Not measured: the notices below say what is missing.");
    const [{ cause, remedy }] = unmeasured.notices as [ShotNotice];
    expect(words).toContain(`not given ${cause} ${remedy}`);
  });

  it("cautions at the launcher, at the pressure, and at the end", () => {
    expect(words).toContain("It is not stated what the tank is made of.");
    expect(words).toContain("The filled tank holds 1120 ± 40 J of compressed gas");
    for (const word of ["end stop", "propeller", "Keep the ground ahead"]) expect(words).toContain(word);
    expect(words.match(/licensed practice decide\./g)!.length).toBeGreaterThanOrEqual(5);
  });

  it("warns of plastic pipe once, at the launcher", async () => {
    const plastic = oneOfEach({
      ...session,
      launcher: { ...(firstOf(session).launcher as RamLauncher), tankMaterial: "plastic-pipe" },
    });
    const [report] = await makeWriteUp({ ...input, session: plastic });
    expect(report!.text.match(/stated to be plastic pipe/g)).toHaveLength(1);
  });

  it("says a caution once when the results carry it too", async () => {
    const facts = {
      gaugePressurePa: null,
      storedEnergyJ: null,
      tankMaterial: "unknown",
      tankRatingPa: 1e6,
    } as const;
    const cautions = [...pressureCautions(facts, "SI"), ...RAM_CAUTIONS];
    const carrying = { ...results[0]!, notices: [...results[0]!.notices, ...cautions] };
    const [report] = await makeWriteUp({ ...input, results: [carrying] });
    for (const { cause } of cautions) expect(report!.text.split(cause)).toHaveLength(2);
    expect(report!.text).toContain(results[0]!.notices[0]!.cause);
  });

  it("speaks the person's units", async () => {
    const [report] = await makeWriteUp({ ...input, session: { ...session, units: "field" } });
    expect(report!.text).toContain("ft/s");
    expect(report!.text).toContain("psi gauge");
  });

  it("escapes everything that came with the session", async () => {
    const evil = `<script>alert(1)</script>"'&`;
    const [one, ...others] = session.shots;
    const marked = oneOfEach({
      ...session,
      title: evil,
      airframe: { ...firstOf(session).airframe, name: evil },
      launcher: { ...firstOf(session).launcher!, name: evil },
      cameras: [{ ...session.cameras[0]!, name: evil }],
      points: session.points.map((point) => ({ ...point, name: evil })),
      shots: [{ ...one!, name: evil, clip: evil, notes: evil }, ...others],
    });
    const [report] = await makeWriteUp({ ...input, session: marked });
    expect(report!.text).not.toContain("<script");
    const written = "&lt;script&gt;alert(1)&lt;/script&gt;&quot;&#39;&amp;";
    expect(report!.text.split(written).length - 1).toBeGreaterThanOrEqual(8);
  });
});

/** The invented shot with its curves read at n times. */
function stretched(shotId: string, n: number): ShotResult {
  const base = invented(shotId);
  const m = base.measurement!;
  const from = (values: readonly number[]) =>
    Array.from({ length: n }, (_, i) => {
      const at = (i / (n - 1)) * (values.length - 1);
      const k = Math.min(Math.floor(at), values.length - 2);
      return values[k]! + (at - k) * (values[k + 1]! - values[k]!);
    });
  const { position, speed, acceleration, pitch, pitchRate, timeS } = m.curves;
  const curve = (c: typeof position) => ({ value: from(c.value), u: from(c.u) });
  const curves = {
    timeS: from(timeS),
    position: curve(position),
    speed: curve(speed),
    acceleration: curve(acceleration),
    pitch: curve(pitch),
    pitchRate: curve(pitchRate),
  };
  return { ...base, measurement: { ...m, curves } };
}

it("says what to set for a wanted speed, holds it against the limits, and tells nobody to break one", async () => {
  const wanting = (value: number) => ({
    ...input,
    session: {
      ...session,
      nextShot: { speedMPerS: { value, u: 0.2 }, choose: "pressure" as const, leastStallMargin: null },
    },
  });
  const report = async (value: number) =>
    (await makeWriteUp(wanting(value))).find(({ name }) => name === "report.html")!.text;
  const inside = await report(8);
  expect(inside).toMatch(/Fill to [\d.]+ ± [\d.]+ bar for 8\.00 m\/s; next shot between/);
  expect(inside).toContain("Release speed over tank pressure, gauge");
  expect(inside).toContain("Peak force of the end stop");
  const outside = await report(18);
  expect(outside).toMatch(/Outside the limits: 18\.0 m\/s would take/);
  expect(outside).toContain("The greatest speed inside all limits is");
  expect(outside).not.toContain("Fill to");
});
