import { z } from "zod";
import type { FaultCode } from "../quantity/fault-codes.ts";

export const FaultSchema = z.strictObject({
  // Any text passes: a code that this build does not know must still bring its cause and remedy.
  code: z.string() as z.ZodType<string> as z.ZodType<FaultCode>,
  cause: z.string(),
  remedy: z.string(),
});
