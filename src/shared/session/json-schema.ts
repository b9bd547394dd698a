import { z } from "zod";
import { SessionSchema } from "./schema.ts";

/** JSON Schema (draft 2020-12) of `loftmark.json`; every field carries its meaning and unit. */
export function sessionJsonSchema(): Readonly<Record<string, unknown>> {
  return z.toJSONSchema(SessionSchema, { target: "draft-2020-12", reused: "inline" }) as Record<
    string,
    unknown
  >;
}
