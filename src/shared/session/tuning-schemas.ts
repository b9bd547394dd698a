import { z } from "zod";
import { anyShotId } from "./outing-schemas.ts";
import { finite, id, measured, u } from "./schema-values.ts";

/** Between which values of a setting tuned values were shot. */
export const TestedRangeSchema = z.strictObject({
  of: z
    .enum(["pressure", "mass", "stroke", "draw"])
    .describe("Pa above the surrounding air, kg, m or m, in the order of the names"),
  low: finite.describe("least value of it that was shot"),
  high: finite.describe("greatest value of it that was shot"),
});

/** Where tuned values come from that were taken with their launcher from the shelf. */
export const TunedElsewhereSchema = z.strictObject({
  outing: z.string().max(200).describe("what the outing is called that they were tuned in"),
  shots: z.array(z.string().max(80)).describe("names of the shots they were tuned on there"),
  tested: z.array(TestedRangeSchema).describe("where those shots lie"),
});

/**
 * What a person chose to tune, and the outcome. The launcher itself keeps the values as
 * stated: they are the priors.
 */
export const TuningSchema = z.strictObject({
  parameters: z
    .array(z.string().min(1).max(60))
    .max(12)
    .describe("inputs of the launcher to tune, by path, e.g. valve.conductance"),
  shotIds: z
    .array(anyShotId)
    .describe(
      "shots the launcher is tuned on; one of another outing by its outing's id, a colon and its own",
    ),
  heldOutShotIds: z.array(anyShotId).describe("shots kept out, to try the tuned launcher on"),
  tuned: z
    .strictObject({
      values: z.array(measured("in the input's unit")).describe("as parameters"),
      others: z
        .array(
          z.strictObject({
            path: z.string().min(1).max(60).describe("input by path, as in parameters"),
            value: measured("in the input's unit; as stated where it did not move"),
            moved: z.boolean().describe("whether the shots moved it off its stated value"),
          }),
        )
        .max(60)
        .optional()
        .describe(
          "inputs not asked for that moved with the parameters, or on whose uncertainty theirs hangs",
        ),
      correlation: z
        .array(z.array(finite))
        .describe("of the tuned values, rows and columns as parameters, then as others"),
      undetermined: z.array(z.string()).describe("parameters the shots do not determine, held as stated"),
      scatter: u.describe(
        "1, relative standard deviation of release speed from shot to shot beyond measurement",
      ),
      shotCount: z.number().int().min(1).describe("shots it came from"),
      rivals: z
        .array(
          z.strictObject({
            values: z.array(measured("in the input's unit")).describe("as parameters, then as others"),
          }),
        )
        .max(2)
        .optional()
        .describe("separate answers that fit the shots about as well; left out where there is none"),
    })
    .nullable()
    .describe("null before tuning, or when something it rests on was changed"),
  use: z.boolean().describe("whether predictions use the tuned values"),
  from: TunedElsewhereSchema.optional().describe(
    "where the tuned values come from, when they came with the launcher from the shelf; left out when tuned here",
  ),
});

/** The tuning of one launcher in the list of the session. */
export const ListedTuningSchema = TuningSchema.extend({
  launcherId: id.describe("id of the launcher that is tuned"),
});

/** What the next shot should be, and within which limits. */
export const NextShotSchema = z.strictObject({
  speedMPerS: measured("m/s, wanted release speed; u is how far off still counts as reached").nullable(),
  choose: z.enum(["pressure", "mass", "stroke", "motor", "draw"]).describe("what is changed to get it"),
  leastStallMargin: z
    .number()
    .positive()
    .nullable()
    .describe("1, release airspeed over stall speed at least"),
  cardMassesKg: z
    .array(z.number().positive())
    .max(2)
    .optional()
    .describe("kg, further all-up masses that the card for the field is made for"),
});
