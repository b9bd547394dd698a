import { z } from "zod";
import { CameraSchema } from "../session/camera-schemas.ts";
import { LauncherSchema } from "../session/launcher-schemas.ts";
import { id } from "../session/schema-values.ts";
import type { ThingKind } from "../session/shelf-schemas.ts";
import { AirframeSchema, PointSchema } from "../session/thing-schemas.ts";
import { TunedElsewhereSchema, TuningSchema } from "../session/tuning-schemas.ts";

/**
 * The shelf, `shelf.json` in the person's data folder: airframes, launchers and cameras kept from outing to
 * outing. What is kept again is added as an edition; none is ever changed or taken away. SI and radians.
 */

export const SHELF_FORMAT = "loftmark-shelf";
/** Raised with the shelf's own form, and whenever that of an airframe, a launcher or a camera changes. */
export const SHELF_VERSION = 1;

const when = z.iso.datetime();

const KeptTuningSchema = z.strictObject({
  parameters: TuningSchema.shape.parameters,
  tuned: TuningSchema.shape.tuned.unwrap(),
  use: TuningSchema.shape.use,
  from: TunedElsewhereSchema.describe("where the tuned values come from"),
});

export const ShelfThingSchema = z.discriminatedUnion("of", [
  z.strictObject({
    of: z.literal("airframe").describe("what it is"),
    airframe: AirframeSchema.describe("as the session had it; its points by the ids below"),
    points: z.array(PointSchema.omit({ on: true, airframeId: true })).describe("the points that are on it"),
  }),
  z.strictObject({
    of: z.literal("launcher").describe("what it is"),
    launcher: LauncherSchema.describe("as stated"),
    tuning: KeptTuningSchema.nullable().describe("what it was tuned to; null when it was not"),
  }),
  z.strictObject({
    of: z.literal("camera").describe("what it is"),
    camera: CameraSchema.omit({ id: true }).describe("with its lens and readout, where known"),
  }),
]);

const EditionSchema = z.strictObject({
  edition: z.int().positive().describe("1 for the first, then up"),
  at: when.describe("when it was kept"),
  outing: z.string().max(200).describe("what the outing is called that it was kept from"),
  thing: ShelfThingSchema,
});

const EntrySchema = z.strictObject({
  id: id.describe("its name for sessions that take it, the same on no other shelf"),
  editions: z.array(EditionSchema).min(1).describe("as it was kept, the newest last"),
  putAwayAt: when
    .nullable()
    .describe("when it was put away, and is offered no longer; null while it is on the shelf"),
});

export const ShelfSchema = z
  .strictObject({
    format: z.literal(SHELF_FORMAT).describe("tells a shelf from other JSON files"),
    version: z.literal(SHELF_VERSION).describe("version of this format"),
    entries: z.array(EntrySchema),
  })
  .superRefine(({ entries }, context) => {
    const seen = new Set<string>();
    for (const [at, entry] of entries.entries()) {
      if (seen.size === seen.add(entry.id).size) {
        context.addIssue({ code: "custom", path: ["entries", at, "id"], message: `second "${entry.id}"` });
      }
      for (const [i, { edition, thing }] of entry.editions.entries()) {
        const path = ["entries", at, "editions", i];
        const before = entry.editions[i - 1];
        if (before !== undefined && (before.thing.of !== thing.of || before.edition >= edition)) {
          context.addIssue({ code: "custom", path, message: "it does not follow the edition before it" });
        }
        if (!knowsItsPoints(thing)) {
          context.addIssue({ code: "custom", path, message: "it balances between points that it has not" });
        }
      }
    }
  })
  .meta({ title: "Loftmark shelf", description: "The document shelf.json in a person's data folder" });

export type Shelf = Readonly<z.infer<typeof ShelfSchema>>;
export type ShelfEntry = Shelf["entries"][number];
export type ShelfEdition = ShelfEntry["editions"][number];
export type ShelfThing = Readonly<z.infer<typeof ShelfThingSchema>>;
export type ShelfAirframe = Extract<ShelfThing, { of: "airframe" }>;
export type ShelfLauncher = Extract<ShelfThing, { of: "launcher" }>;
export type ShelfCamera = Extract<ShelfThing, { of: "camera" }>;

export const EMPTY_SHELF: Shelf = { format: SHELF_FORMAT, version: SHELF_VERSION, entries: [] };

/** The edition that was kept last. */
export function newest({ editions }: ShelfEntry): ShelfEdition {
  return editions.at(-1) as ShelfEdition; // the schema has at least one
}

export function kindOf(entry: ShelfEntry): ThingKind {
  return newest(entry).thing.of;
}

/** What a person calls it; a word for what it is where they did not name it. */
export function nameOf(thing: ShelfThing): string {
  const named = nameIn(thing);
  return named === "" ? `${thing.of} without a name` : named;
}

function nameIn(thing: ShelfThing): string {
  if (thing.of === "airframe") return thing.airframe.name;
  return thing.of === "launcher" ? thing.launcher.name : thing.camera.name;
}

function knowsItsPoints(thing: ShelfThing): boolean {
  if (thing.of !== "airframe" || thing.airframe.centreOfGravity === null) return true;
  const { fromPointId, towardPointId } = thing.airframe.centreOfGravity;
  return [fromPointId, towardPointId].every((one) => thing.points.some(({ id: known }) => known === one));
}
