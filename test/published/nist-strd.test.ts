import { describe, expect, it } from "vitest";
import { levenbergMarquardt } from "../../src/shared/numeric/levenberg-marquardt.ts";

/**
 * A problem of the NIST Statistical Reference Datasets, nonlinear regression: data, both starts and
 * values certified to 11 digits.
 */
interface Certified {
  readonly name: string;
  readonly level: "lower" | "higher";
  readonly model: (b: ArrayLike<number> & Iterable<number>, x: number) => number;
  readonly starts: readonly (readonly number[])[];
  readonly b: readonly number[];
  readonly sd: readonly number[];
  readonly rss: number;
  readonly x: readonly number[];
  readonly y: readonly number[];
}

const PROBLEMS: readonly Certified[] = [
  {
    name: "Misra1a",
    level: "lower",
    model: ([b1, b2], x) => b1! * (1 - Math.exp(-b2! * x)),
    starts: [
      [500, 0.0001],
      [250, 0.0005],
    ],
    b: [238.94212918, 5.5015643181e-4],
    sd: [2.7070075241, 7.2668688436e-6],
    rss: 0.12455138894,
    x: [77.6, 114.9, 141.1, 190.8, 239.9, 289, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760],
    y: [10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.4, 75.47, 81.78],
  },
  {
    name: "Thurber",
    level: "higher",
    model: ([b1, b2, b3, b4, b5, b6, b7], x) =>
      (b1! + x * (b2! + x * (b3! + x * b4!))) / (1 + x * (b5! + x * (b6! + x * b7!))),
    starts: [
      [1000, 1000, 400, 40, 0.7, 0.3, 0.03],
      [1300, 1500, 500, 75, 1, 0.4, 0.05],
    ],
    b: [1288.13968, 1491.0792535, 583.23836877, 75.416644291, 0.96629502864, 0.39797285797, 0.049727297349],
    sd: [
      4.6647963344, 39.571156086, 28.698696102, 5.567537027, 0.031333340687, 0.014984928198, 0.0065842344623,
    ],
    rss: 5642.7082397,
    x: [
      -3.067, -2.981, -2.921, -2.912, -2.84, -2.797, -2.702, -2.699, -2.633, -2.481, -2.363, -2.322, -1.501,
      -1.46, -1.274, -1.212, -1.1, -1.046, -0.915, -0.714, -0.566, -0.545, -0.4, -0.309, -0.109, -0.103, 0.01,
      0.119, 0.377, 0.79, 0.963, 1.006, 1.115, 1.572, 1.841, 2.047, 2.2,
    ],
    y: [
      80.574, 84.248, 87.264, 87.195, 89.076, 89.608, 89.868, 90.101, 92.405, 95.854, 100.696, 101.06,
      401.672, 390.724, 567.534, 635.316, 733.054, 759.087, 894.206, 990.785, 1090.109, 1080.914, 1122.643,
      1178.351, 1260.531, 1273.514, 1288.339, 1327.543, 1353.863, 1414.509, 1425.208, 1421.384, 1442.962,
      1464.35, 1468.705, 1447.894, 1457.628,
    ],
  },
  {
    name: "MGH09",
    level: "higher",
    model: ([b1, b2, b3, b4], x) => (b1! * (x * x + x * b2!)) / (x * x + x * b3! + b4!),
    starts: [
      [25, 39, 41.5, 39],
      [0.25, 0.39, 0.415, 0.39],
    ],
    b: [0.19280693458, 0.19128232873, 0.12305650693, 0.13606233068],
    sd: [0.011435312227, 0.19633220911, 0.080842031232, 0.090025542308],
    rss: 3.0750560385e-4,
    x: [4, 2, 1, 0.5, 0.25, 0.167, 0.125, 0.1, 0.0833, 0.0714, 0.0625],
    y: [0.1957, 0.1947, 0.1735, 0.16, 0.0844, 0.0627, 0.0456, 0.0342, 0.0323, 0.0235, 0.0246],
  },
  {
    name: "MGH10",
    level: "higher",
    model: ([b1, b2, b3], x) => b1! * Math.exp(b2! / (x + b3!)),
    starts: [
      [2, 400000, 25000],
      [0.02, 4000, 250],
    ],
    b: [0.005609636471, 6181.3463463, 345.22363462],
    sd: [1.5687892471e-4, 23.309021107, 0.78486103508],
    rss: 87.945855171,
    x: [50, 55, 60, 65, 70, 75, 80, 85, 90, 95, 100, 105, 110, 115, 120, 125],
    y: [
      34780, 28610, 23650, 19630, 16370, 13720, 11540, 9744, 8261, 7030, 6005, 5147, 4427, 3820, 3307, 2872,
    ],
  },
  {
    name: "Eckerle4",
    level: "higher",
    model: ([b1, b2, b3], x) => (b1! / b2!) * Math.exp(-0.5 * ((x - b3!) / b2!) ** 2),
    starts: [
      [1, 10, 500],
      [1.5, 5, 450],
    ],
    b: [1.5543827178, 4.0888321754, 451.54121844],
    sd: [0.015408051163, 0.046803020753, 0.046800518816],
    rss: 1.4635887487e-3,
    x: [
      400, 405, 410, 415, 420, 425, 430, 435, 436.5, 438, 439.5, 441, 442.5, 444, 445.5, 447, 448.5, 450,
      451.5, 453, 454.5, 456, 457.5, 459, 460.5, 462, 463.5, 465, 470, 475, 480, 485, 490, 495, 500,
    ],
    y: [
      0.0001575, 0.0001699, 0.000235, 0.0003102, 0.0004917, 0.000871, 0.0017418, 0.00464, 0.0065895,
      0.0097302, 0.0149002, 0.023731, 0.0401683, 0.0712559, 0.1264458, 0.2073413, 0.2902366, 0.3445623,
      0.3698049, 0.3668534, 0.3106727, 0.2078154, 0.1164354, 0.0616764, 0.03372, 0.0194023, 0.0117831,
      0.0074357, 0.0022732, 0.00088, 0.0004579, 0.0002345, 0.0001586, 0.0001143, 7.1e-5,
    ],
  },
];

/** Digits that agree: -log10 of the relative error, the least over all. */
function digits(found: ArrayLike<number>, certified: readonly number[]): number {
  return Math.min(...certified.map((c, i) => -Math.log10(Math.max(Math.abs(found[i]! / c - 1), 1e-15))));
}

describe("NIST StRD nonlinear regression (certified to 11 digits; itl.nist.gov/div898/strd)", () => {
  for (const { name, level, model, starts, b, sd, rss, x, y } of PROBLEMS) {
    it.each(starts.map((start, i) => [i + 1, start] as const))(
      `${name} (${level} difficulty) from start %d: 6 digits of the parameters, 5 of the standard deviations`,
      (_, start) => {
        const fit = levenbergMarquardt({
          count: x.length,
          start,
          typical: start,
          mostSteps: 2000,
          residuals: (p, out) => {
            x.forEach((at, i) => {
              out[i] = model(p, at) - y[i]!;
            });
          },
        });
        expect(fit).toMatchObject({ converged: true });
        expect(digits(fit.parameters, b)).toBeGreaterThan(6);
        const s = Math.sqrt(fit.sumOfSquares / fit.degreesOfFreedom);
        const n = b.length;
        const found = b.map((_b, i) => s * Math.sqrt(fit.covariance![i * n + i]!));
        expect(digits(found, sd)).toBeGreaterThan(5);
        expect(digits([fit.sumOfSquares], [rss])).toBeGreaterThan(9);
      },
    );
  }
});
