import { z } from "zod";
import { QUANTITIES, QUANTITY_NAMES } from "./quantity-table.ts";
import { HEADLINES, type QuantityName } from "./shot-result.ts";

/**
 * `results.json` and `truth.json`: what was measured, and what is known to be true of made-up clips.
 * SI units and radians; u is a standard uncertainty (k = 1). Readers must let fields pass that they do not
 * know; names of quantities, though, are these and no others.
 */

export const RESULTS_FORMAT = "loftmark-results";
export const RESULTS_VERSION = 1;

const finite = z.number();
const MeasuredSchema = z.looseObject({ value: finite, u: finite.nonnegative() });

function quantityOf(name: QuantityName) {
  return z
    .looseObject({
      value: finite,
      u: finite.nonnegative().describe("standard uncertainty (k = 1), same unit"),
      unit: z.literal(QUANTITIES[name].unit),
      how: z.string().describe("one sentence on how it was obtained"),
    })
    .describe(QUANTITIES[name].words);
}

function truthOf(name: QuantityName) {
  const { unit, words } = QUANTITIES[name];
  return z.looseObject({ value: finite, unit: z.literal(unit).optional() }).describe(words);
}

function byName<T extends z.ZodType>(of: (name: QuantityName) => T) {
  const shape = Object.fromEntries(QUANTITY_NAMES.map((name) => [name, of(name).optional()]));
  return z.strictObject(shape as { [name in QuantityName]: z.ZodOptional<T> });
}

const NoticeSchema = z.looseObject({
  level: z.enum(["note", "warning", "refusal", "danger"]),
  code: z.string(),
  cause: z.string(),
  remedy: z.string(),
  about: z
    .string()
    .optional()
    .describe("heading of the window under which it is read: clip, clock, scale, ..."),
  beside: z
    .string()
    .optional()
    .describe("what it stands beside under that heading, where it has a place of its own"),
  path: z.string().optional().describe("field of loftmark.json that it speaks of, where it speaks of one"),
});

const ShotResultsSchema = z.looseObject({
  id: z.string().min(1).describe("the shot's id in loftmark.json"),
  name: z.string().optional(),
  clip: z.string().nullable().optional(),
  quantities: byName(quantityOf).describe("measured; a quantity that could not be given is absent"),
  predicted: byName(quantityOf).optional().describe("the launch model's; absent without a model"),
  differences: z
    .array(
      z.looseObject({
        name: z.enum(QUANTITY_NAMES),
        difference: MeasuredSchema.describe("predicted - measured, in the quantity's unit"),
        relative: MeasuredSchema.describe("difference over measured"),
        inU: finite.describe("difference over its standard uncertainty"),
      }),
    )
    .optional(),
  budget: z
    .partialRecord(
      z.enum(QUANTITY_NAMES),
      z.array(z.looseObject({ source: z.string(), u: finite.nonnegative() })),
    )
    .optional()
    .describe("each source's part of u, in the quantity's unit; their root sum of squares is u"),
  drawn: z
    .looseObject({
      draws: z.number().int().positive(),
      headlines: z.partialRecord(
        z.enum(HEADLINES),
        z.looseObject({ apart: MeasuredSchema, together: MeasuredSchema, agree: z.boolean() }),
      ),
    })
    .optional()
    .describe("headline results with inputs moved one at a time, and with all drawn together (JCGM 101)"),
  storedEnergyJ: MeasuredSchema.optional().describe("J, held back before the shot by gas or line"),
  releaseClipS: finite.optional().describe("s, clip time of release"),
  startClipS: finite.optional().describe("s, clip time of first motion"),
  captureRateHz: MeasuredSchema.optional().describe(
    "Hz, the capture rate in use, its checks included where they are; absent where timestamps are, or parts",
  ),
  clockParts: z
    .array(z.looseObject({ from: MeasuredSchema, captureRateHz: MeasuredSchema }))
    .optional()
    .describe(
      "of a clip with more than one capture rate: the frame each part begins at and its rate in Hz, the first from frame 0",
    ),
  clockChecks: z
    .array(
      z.looseObject({
        kind: z.enum(["drop", "lamp"]),
        shotId: z.string().describe("the shot whose clip shows it"),
        captureRateHz: MeasuredSchema,
      }),
    )
    .optional()
    .describe("capture rates that drops and lamps in clips of the same camera imply"),
  flightBend: MeasuredSchema.optional().describe(
    "bend of the path across the flight after release over gravity's: 1 for a stone, less where wings carry",
  ),
  sizeCheck: z
    .looseObject({ pointIds: z.array(z.string()), seenM: MeasuredSchema, statedM: MeasuredSchema })
    .optional()
    .describe("m between two points of the airframe, as the footage shows it and as taped"),
  noiseRatio: finite.optional().describe("scatter of the marks over their stated u"),
  converged: z.boolean().optional(),
  alignment: z
    .looseObject({ offsetS: finite, how: z.string() })
    .optional()
    .describe("clip time of the model's time 0, and how the two clocks were laid together"),
  verdict: z.string().optional(),
  reading: z
    .looseObject({
      text: z.string(),
      outcome: z.enum(["named", "together", "agrees", "unclear", "too-few"]),
      causes: z.array(
        z.looseObject({ code: z.string(), words: z.string(), size: MeasuredSchema, unit: z.string() }),
      ),
    })
    .optional()
    .describe("what the difference between model and footage points to"),
  notices: z.array(NoticeSchema).optional(),
});

export const ResultsSchema = z
  .looseObject({
    format: z.literal(RESULTS_FORMAT).optional(),
    version: z.literal(RESULTS_VERSION).optional(),
    madeAt: z.string().optional().describe("when, ISO 8601"),
    title: z.string().optional(),
    outings: z
      .array(
        z.looseObject({
          id: z.string(),
          path: z.string().describe("of its field folder from this one"),
          title: z.string(),
          fingerprint: z.string().describe("SHA-256 of its session when it was read"),
          readAt: z.string().describe("when, ISO 8601"),
          shots: z.array(
            z.looseObject({
              id: z.string().describe("as tunings name it: outing, colon, its id there"),
              name: z.string(),
              releaseSpeed: MeasuredSchema.optional().describe("m/s, as measured there"),
            }),
          ),
        }),
      )
      .optional()
      .describe("other outings whose shots count in tuning, charts and repeats; absent where there are none"),
    shots: z.array(ShotResultsSchema),
  })
  .meta({ title: "Loftmark results", description: "Measured results of a session. SI units and radians." });

export const TruthSchema = z
  .looseObject({
    shots: z.array(
      z.looseObject({
        id: z.string().min(1).describe("the shot's id in loftmark.json"),
        quantities: byName(truthOf),
      }),
    ),
  })
  .meta({ title: "Loftmark truth", description: "True values of made-up clips. SI units and radians." });

export type Results = z.infer<typeof ResultsSchema>;
export type ShotResults = Results["shots"][number];
export type Truth = z.infer<typeof TruthSchema>;

/** `ResultsSchema` as a JSON Schema (draft 2020-12). */
export function resultsJsonSchema(): object {
  return z.toJSONSchema(ResultsSchema);
}

/** `TruthSchema` as a JSON Schema (draft 2020-12). */
export function truthJsonSchema(): object {
  return z.toJSONSchema(TruthSchema);
}
