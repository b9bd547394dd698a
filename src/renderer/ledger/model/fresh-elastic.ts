import type { ElasticLauncher } from "../../../shared/session/schema.ts";

/**
 * An elastic line to be overwritten: round numbers of a light bungee, uncertain enough (a third, or more) that every result made with it is
 * seen to be a guess. No unloading table, for no two lines lose the same share: the speed is an upper bound until one is measured.
 */
export function freshElastic(): ElasticLauncher {
  const guess = (value: number, share = 0.33) => ({ value, u: value * share });
  return {
    kind: "elastic-line",
    name: "",
    angleRad: { value: Math.PI / 12, u: 0.1 },
    drawM: guess(5),
    loading: [
      [0, 0],
      [1, 15],
      [2, 24],
      [4, 35],
      [6, 47],
      [8, 66],
    ],
    unloading: null,
    forceScale: { value: 1, u: 0.33 },
    lines: 1,
    lineMassKg: guess(0.1),
    carriageKg: { value: 0, u: 0.05 },
    slidingN: guess(2, 0.5),
  };
}
