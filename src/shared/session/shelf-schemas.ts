import { z } from "zod";
import { id } from "./schema-values.ts";

/** What a person keeps from outing to outing. */
export const THING_KINDS = ["airframe", "launcher", "camera"] as const;
export type ThingKind = (typeof THING_KINDS)[number];

/** Which entry of the person's shelf a thing of the session is, in the edition taken or kept last. */
export const ShelvedSchema = z.strictObject({
  of: z.enum(THING_KINDS).describe("what it is"),
  id: id.describe("its id in the session"),
  shelfId: id.describe("its id on the person's shelf"),
  edition: z.int().positive().describe("the edition that was taken from the shelf, or kept on it, last"),
});
export type Shelved = Readonly<z.infer<typeof ShelvedSchema>>;
