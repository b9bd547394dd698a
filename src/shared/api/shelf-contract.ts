import { z } from "zod";
import { ShelfSchema, ShelfThingSchema } from "../shelf/shelf-schema.ts";

/* The part of the service contract that is about the person's shelf, which is the same for every folder. */

export const ShelfReplySchema = z.strictObject({
  shelf: ShelfSchema.nullable().describe("null where the host keeps none"),
});
export const ShelfChangeSchema = z.discriminatedUnion("do", [
  z.strictObject({
    do: z.literal("keep"),
    thing: ShelfThingSchema,
    shelfId: z.string().max(64).nullable().describe("entry it is an edition of; null for a new entry"),
    outing: z.string().max(200).describe("what the outing is called that it is kept from"),
  }),
  z.strictObject({ do: z.literal("put-away"), shelfId: z.string().max(64) }),
  z.strictObject({ do: z.literal("bring-back"), shelfId: z.string().max(64) }),
]);
export const ShelfChangedReplySchema = z.strictObject({
  shelf: ShelfSchema,
  place: z
    .strictObject({ shelfId: z.string(), edition: z.int().positive() })
    .nullable()
    .describe("where it was kept; null where nothing was"),
});

export type ShelfReply = Readonly<z.infer<typeof ShelfReplySchema>>;
export type ShelfChange = Readonly<z.infer<typeof ShelfChangeSchema>>;
export type ShelfChangedReply = Readonly<z.infer<typeof ShelfChangedReplySchema>>;
