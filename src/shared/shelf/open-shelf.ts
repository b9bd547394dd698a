import { z } from "zod";
import type { Fault } from "../quantity/notice.ts";
import { wordIssue } from "../session/word-issue.ts";
import { SHELF_FORMAT, SHELF_VERSION, type Shelf, ShelfSchema } from "./shelf-schema.ts";

export type OpenedShelf =
  | { readonly ok: true; readonly shelf: Shelf }
  | { readonly ok: false; readonly fault: Fault };

const SHOWN_ISSUES = 3;

/**
 * Opens a parsed shelf. Refuses, as a fault with cause and remedy, one made by a newer Loftmark
 * ("newer-shelf") and whatever is no shelf or does not fit its format ("broken-shelf").
 * @param where the file's path, for the remedy
 */
export function openShelf(json: unknown, where: string): OpenedShelf {
  const head = z.object({ format: z.literal(SHELF_FORMAT), version: z.int().positive() }).safeParse(json);
  if (!head.success) {
    return broken(`it does not say "format": "${SHELF_FORMAT}" and a version number`, where);
  }
  if (head.data.version > SHELF_VERSION) {
    return {
      ok: false,
      fault: {
        code: "newer-shelf",
        cause: `The shelf was made by a newer Loftmark (shelf version ${head.data.version}; this one reads up to ${SHELF_VERSION}).`,
        remedy: "Update Loftmark. The shelf was left as it is; everything else works without it.",
      },
    };
  }
  const parsed = ShelfSchema.safeParse(json);
  if (parsed.success) return { ok: true, shelf: parsed.data };
  const schema = z.toJSONSchema(ShelfSchema);
  const lines = parsed.error.issues.slice(0, SHOWN_ISSUES).map((issue) => wordIssue(issue, json, schema));
  return broken(lines.join("; "), where);
}

/** @param why a clause without a full stop */
export function broken(why: string, where: string): OpenedShelf & { readonly ok: false } {
  return {
    ok: false,
    fault: {
      code: "broken-shelf",
      cause: `The shelf cannot be read: ${why}. Nothing was written over it.`,
      remedy: `Put it right in ${where}, or move that file away: Loftmark then begins an empty shelf, and you can keep things again from your outings.`,
    },
  };
}
