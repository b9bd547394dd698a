import type { OutingsReply } from "../../shared/api/contract.ts";
import type { Fault } from "../../shared/quantity/notice.ts";

/** What the window knows of the folders of other outings. */
export interface OutingsView {
  /** By the outing's id, as far as they were looked at. */
  readonly standings: OutingsReply["standings"];
  /** Why the last one could not be read. */
  readonly fault: Fault | null;
}

export const NO_STANDINGS: OutingsView = { standings: {}, fault: null };
