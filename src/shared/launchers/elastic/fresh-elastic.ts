import { ELASTIC_DRAW, ELASTIC_LOAD, ELASTIC_PULL, ELASTIC_SCALE } from "../../inputs/elastic-inputs.ts";
import { guessesOf } from "../../inputs/launcher-rows.ts";
import type { ElasticLauncher } from "../../session/schema.ts";

/**
 * An elastic line to be overwritten: round numbers of a light bungee, uncertain enough (a third, or more)
 * that every result made with it is seen to be a guess. No unloading table, for no two lines lose the same
 * share: the speed is an upper bound until one is measured.
 */
export function freshElastic(): ElasticLauncher {
  return {
    kind: "elastic-line",
    name: "",
    ...guessesOf({ ...ELASTIC_DRAW, ...ELASTIC_PULL, ...ELASTIC_SCALE, ...ELASTIC_LOAD }),
    loading: [
      [0, 0],
      [1, 15],
      [2, 24],
      [4, 35],
      [6, 47],
      [8, 66],
    ],
    unloading: null,
    lines: 1,
  };
}
