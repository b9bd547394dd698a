import type { Fault } from "../../shared/quantity/notice.ts";

/** What the window tells above the ledger until it is dismissed. */
export interface AppNotice {
  readonly id: number;
  readonly level: "note" | "warning" | "danger";
  readonly fault: Fault;
}
