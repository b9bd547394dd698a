import type { ShotResult } from "../../shared/results/shot-result.ts";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { Session } from "../../shared/session/schema.ts";

/** All a write-up is made from. */
export interface WriteUpInput {
  readonly session: Session;
  readonly results: readonly ShotResult[];
  /** Facts of the clips that could be inspected, by clip name. */
  readonly facts: ReadonlyMap<string, ClipFacts>;
  /** When, ISO 8601. */
  readonly madeAt: string;
}
