import { ELASTIC_DRAW, ELASTIC_LENGTH, ELASTIC_LOAD } from "../../inputs/elastic-inputs.ts";
import type { ElasticLauncher } from "../../session/schema.ts";
import { airframeShapes } from "../airframe-sketch.ts";
import {
  box,
  disc,
  grown,
  label,
  line,
  measure,
  type Place,
  type Sketch,
  type SketchInset,
  type SketchPart,
} from "../sketch.ts";

const AIRFRAME = 74;
const CARRIAGE = 14; // half its length
const MOST_DRAWN = 5; // lines; more would run together
const UNKNOWN_LENGTH = 70;
const INSET = { width: 112, height: 62, left: 4, bottom: 13, plot: [100, 40] } as const;

/** Where the parts lie along the pull, counted from the carriage when drawn out. */
interface Lengths {
  /** where the line is at rest */
  readonly rest: number;
  readonly anchor: number;
  readonly carriage: number;
}

/** An elastic line drawn out: airframe and carriage, the line to its anchor, and below it its force. */
export function elasticSketch(launcher: ElasticLauncher): Sketch {
  const { drawM, freeLengthM, carriageKg, angleRad } = launcher;
  const rest = CARRIAGE + grown(ELASTIC_DRAW.drawM.plausible, drawM.value, 50, 130);
  const free =
    freeLengthM === undefined
      ? UNKNOWN_LENGTH
      : grown(ELASTIC_LENGTH.freeLengthM.plausible, freeLengthM.value, 34, 100);
  const at = {
    rest,
    anchor: rest + free,
    carriage: grown(ELASTIC_LOAD.carriageKg.plausible, carriageKg.value, 9, 18),
  };
  return {
    parts: [...pulls(launcher, at), ...runs(launcher, at)],
    direction: {
      words: "the direction of the pull",
      name: "angleRad",
      angleRad: angleRad.value,
      pivot: [-CARRIAGE, angleRad.value < 0 ? at.carriage + 20 : -8],
      arrow: [
        [AIRFRAME / 2 + 12, at.carriage + 9],
        [AIRFRAME / 2 + 40, at.carriage + 9],
      ],
    },
    inset: forceOf(launcher),
  };
}

function pulls(launcher: ElasticLauncher, { rest, anchor, carriage }: Lengths): readonly SketchPart[] {
  const { lines, freeLengthM, anchorRatedLoadN } = launcher;
  const drawn = Math.min(lines, MOST_DRAWN);
  const middle = carriage / 2;
  const strands = Array.from({ length: drawn }, (_, i) => {
    const y = middle + (i - (drawn - 1) / 2) * 2.6;
    return line([CARRIAGE, y], [anchor, y]);
  });
  return [
    {
      words: lines === 1 ? "the line" : `the ${lines} lines`,
      names: ["lines", "lineMassKg", "stretchLimit"],
      from: ["lineMassKg"],
      shapes: [
        ...strands,
        ...(lines === 1 ? [] : [label(`${lines} lines`, [(rest + anchor) / 2, middle + 6], [0, 1])]),
      ],
    },
    {
      words: "the anchor",
      names: ["anchorRatedLoadN"],
      from: [],
      missing: anchorRatedLoadN == null,
      shapes: [box([anchor, -12], [anchor + 11, carriage + 16])],
    },
    {
      words: "the draw",
      names: ["drawM"],
      from: ["drawM"],
      shapes: [
        measure([CARRIAGE, -13], [rest, -13]),
        label("draw", [0.3 * CARRIAGE + 0.7 * rest, -13], [0, -1]),
      ],
    },
    {
      words: "the free length of one line",
      names: ["freeLengthM"],
      from: ["freeLengthM"],
      missing: freeLengthM === undefined,
      shapes: [
        measure([rest, -13], [anchor, -13]),
        label("free length", [(rest + anchor) / 2, -13], [0, -1]),
      ],
    },
  ];
}

function runs({ endStop }: ElasticLauncher, { rest, carriage }: Lengths): readonly SketchPart[] {
  const foot = -CARRIAGE - 6;
  return [
    {
      words: "friction along the rail",
      names: ["slidingN"],
      from: ["slidingN"],
      shapes: [box([foot, -5], [rest + 10, -2])],
    },
    {
      words: "the stop of the carriage",
      names: ["endStop"],
      from: ["endStop.bufferTravelM"],
      missing: endStop === undefined,
      shapes: [box([rest + 1, -2], [rest + 10, carriage - 1])],
    },
    {
      words: "the carriage",
      names: ["carriageKg"],
      from: ["carriageKg"],
      shapes: [box([-CARRIAGE, -2], [CARRIAGE, carriage])],
    },
    { words: "the airframe", names: [], from: [], shapes: airframeShapes([0, carriage + 9], AIRFRAME) },
  ];
}

/** Force over extension, as measured drawing out and letting in. */
function forceOf({ loading, unloading }: ElasticLauncher): SketchInset {
  const all = [...loading, ...(unloading ?? [])];
  const most = [0, 1].map((k) => Math.max(...all.map((point) => Math.abs(point[k] as number)), 1e-9));
  const { left, bottom, plot } = INSET;
  const place = ([extension, force]: Place): Place => [
    left + (plot[0] * extension) / (most[0] as number),
    bottom + (plot[1] * Math.max(0, force)) / (most[1] as number),
  ];
  const end = place(loading.at(-1) as Place);
  return {
    width: INSET.width,
    height: INSET.height,
    parts: [
      {
        words: "the axes of the line's force",
        names: [],
        from: [],
        shapes: [
          line([left, bottom + plot[1] + 6], [left, bottom], [left + plot[0] + 4, bottom]),
          label("force over extension", [left + plot[0] / 2, 5]),
        ],
      },
      {
        words: "one line's force, drawing out",
        names: ["loading", "forceScale"],
        from: ["forceScale"],
        shapes: [line(...loading.map(place)), disc(end, 2)],
      },
      {
        words: "one line's force, letting in",
        names: ["unloading"],
        from: ["forceScale"],
        missing: unloading === null,
        shapes:
          unloading === null
            ? [
                line([left, bottom], [left + 0.6 * plot[0], bottom + 0.2 * plot[1]], end),
                label("?", [left + 0.72 * plot[0], bottom + 0.16 * plot[1]]),
              ]
            : [line(...unloading.map(place))],
      },
    ],
  };
}
