import { z } from "zod";
import type { LookedForSetUp } from "../carry/look-for-set-up.ts";
import { LAUNCHER_KINDS } from "../inputs/input.ts";
import type { ShotResult } from "../results/shot-result.ts";
import { finite, measured, u } from "../session/schema-values.ts";
import { TuningSchema } from "../session/tuning-schemas.ts";

/* What long computations of the service come to, as their replies carry them. */

const speed = measured("m/s");

const tunedInputs = z.array(
  z.strictObject({
    name: z.string(),
    stated: measured("in the input's unit"),
    tuned: measured("in the input's unit"),
    left: finite,
    moved: z.boolean(),
  }),
);

/** A tuning with all that is said of it; its correlation matrix as a plain list. */
export const TunedLauncherSchema = z.strictObject({
  launcherKind: z.enum(LAUNCHER_KINDS),
  tuning: z.strictObject({
    inputs: tunedInputs,
    correlation: z.array(finite).describe("[n·n], of inputs, row by row"),
    undetermined: z.array(z.string()),
    together: z.array(z.array(z.string())),
    shots: z.array(
      z.strictObject({
        shotId: z.string(),
        points: z.int(),
        own: z.array(z.strictObject({ name: z.string(), inU: finite })),
      }),
    ),
    chiSquare: finite,
    degreesOfFreedom: finite,
    chance: finite,
    widened: finite,
    scatter: u.nullable(),
    earlyScatter: u,
    unstated: z.array(z.strictObject({ name: z.string(), found: speed, present: z.boolean() })),
    rivals: z.array(z.strictObject({ inputs: tunedInputs, more: finite })),
    steps: z.int(),
  }),
  tuned: TuningSchema.shape.tuned.unwrap(),
  heldOut: z.array(
    z.strictObject({
      shotId: z.string(),
      predicted: speed,
      measured: speed,
      relative: finite,
      within: finite,
      inside: z.boolean(),
      asStated: speed.nullable(),
    }),
  ),
});
export type TunedLauncher = z.infer<typeof TunedLauncherSchema>;

/**
 * A shot's result goes through as it is: only that it is one is looked at, the page and the
 * service are of one version.
 */
export const ShotResultSchema = z.custom<ShotResult>((value) => {
  const one = value as Partial<ShotResult> | null;
  return typeof one?.shotId === "string" && Array.isArray(one.notices) && typeof one.measurement === "object";
}, "the result of a shot");

/** A former shot's set-up looked for on another clip; goes through as it is, like a shot's result. */
export const LookedForSetUpSchema = z.custom<LookedForSetUp>((value) => {
  const one = value as Partial<LookedForSetUp> | null;
  return typeof one?.outcome?.ok === "boolean" && typeof one.rates === "string";
}, "a set-up that was looked for");
