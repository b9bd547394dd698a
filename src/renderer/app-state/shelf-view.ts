import type { Fault } from "../../shared/quantity/notice.ts";
import type { Shelf } from "../../shared/shelf/shelf-schema.ts";

/** What the window knows of the person's shelf. */
export interface ShelfView {
  /** null until it was looked at, and where the host keeps none. */
  readonly shelf: Shelf | null;
  /** Why the last look or change failed. */
  readonly fault: Fault | null;
}

export const NOT_LOOKED_AT: ShelfView = { shelf: null, fault: null };
