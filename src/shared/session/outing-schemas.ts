import { z } from "zod";
import { LauncherSchema } from "./launcher-schemas.ts";
import { finite, id, measured, measuredPositive, u } from "./schema-values.ts";

/** A shot of the session by its id, or one of another outing by its outing's id, a colon and its own. */
export const anyShotId = z
  .string()
  .regex(
    /^[a-z0-9][a-z0-9-]{0,63}(:[a-z0-9][a-z0-9-]{0,63})?$/,
    "the id of a shot, or of an outing and a shot of it with a colon between",
  );

const counterpart = (what: string) =>
  id.nullable().describe(`id of the ${what} of this session that it is; null when it is none of them`);

const values = z.array(finite).max(400);
const curve = z.strictObject({
  value: values.describe("SI, at each time"),
  u: values.describe("its standard uncertainty"),
});

/** The motion as it was fitted there, at times s from release; as results have it. */
const curves = z.strictObject({
  timeS: values.describe("s from release"),
  position: curve,
  speed: curve,
  acceleration: curve,
  pitch: curve,
  pitchRate: curve,
});

/** @param of the gauge pressure, the air and the wind, as a shot has them */
export function outingSchema<C extends z.ZodType>(of: C) {
  const shot = z.strictObject({
    id: id.describe("its id in the other outing"),
    name: z.string().min(1).max(80).describe("what it is called there"),
    airframeId: id.describe("id of its airframe in the other outing"),
    launcherId: id.nullable().describe("id of its launcher in the other outing; null when not said"),
    clipSha256: z
      .string()
      .regex(/^sha256-[0-9a-f]{64}$/)
      .nullable()
      .describe("SHA-256 of its clip, so that no clip counts twice; null when it was not noted there"),
    conditions: of,
    quantities: z
      .record(z.string().max(60), measured("SI, as measured there"))
      .describe("results of the shot by their names in results.json"),
    ownU: u.describe("m/s, part of the release speed's u that no other shot shares"),
    shared: z
      .array(
        z.strictObject({
          by: z.string().max(4000).describe("what the error is of; camera ids are those of the other outing"),
          u: u.describe("m/s, part of the release speed's u"),
        }),
      )
      .max(40)
      .describe("parts of the release speed's u that other shots share"),
    curves: curves.describe("SI, fitted motion, for the charts"),
    noticed: z
      .array(
        z.strictObject({
          level: z.enum(["warning", "danger", "refusal"]).describe("how much it weighs"),
          cause: z.string().max(2000).describe("what it says"),
        }),
      )
      .max(60)
      .describe("what its measurement warned of there"),
    push: z
      .strictObject({
        directionRad: finite.describe("rad, launch direction above the horizontal"),
        startS: finite.describe("s, first motion"),
        releaseS: finite.describe("s, release"),
        points: z
          .array(z.tuple([finite, finite, u, finite]))
          .max(5000)
          .describe("[time s, travel m, its own u m, speed m/s] of each frame"),
        errors: z
          .array(
            z.strictObject({
              by: z.string().max(4000).describe("what the error is of, as in shared"),
              source: z.string().max(40).describe("line of the budget that it belongs to"),
              travelM: z.array(finite).describe("m at each point for one u of it"),
              timeS: z.array(finite).describe("s at each point for one u of it"),
            }),
          )
          .max(200)
          .describe("errors that all frames share"),
      })
      .describe("the push, to tune on"),
  });
  return z.strictObject({
    id: id.describe("name of the outing for the document, unique in the session"),
    path: z.string().min(1).max(1000).describe("of its field folder from this one, with forward slashes"),
    title: z.string().max(200).describe("what the outing is called"),
    fingerprint: z
      .string()
      .regex(/^sha256-[0-9a-f]{64}$/)
      .describe("SHA-256 of its session when it was read, so that a change is noticed"),
    readAt: z.iso.datetime().describe("when it was read"),
    airframes: z.array(
      z.strictObject({
        id: id.describe("its id in the other outing"),
        name: z.string().max(80).describe("what it is called there"),
        massKg: measuredPositive("kg, all-up mass as launched there").nullable(),
        here: counterpart("airframe"),
      }),
    ),
    launchers: z.array(
      z.strictObject({
        id: id.describe("its id in the other outing"),
        launcher: LauncherSchema.describe("as stated there"),
        here: counterpart("launcher"),
      }),
    ),
    cameras: z.array(
      z.strictObject({
        id: id.describe("its id in the other outing"),
        name: z.string().max(80).describe("what it is called there"),
        here: counterpart("camera"),
      }),
    ),
    shots: z.array(shot).describe("those that were measured there"),
    leftOut: z.array(id).describe("ids of those that do not count here, because a person left them out"),
    lacking: z
      .array(
        z.strictObject({
          name: z.string().max(80).describe("of the shot"),
          why: z.string().max(1000).describe("what its measurement lacks"),
        }),
      )
      .describe("shots that could not be measured there"),
  });
}
