import { exampleSession } from "../../src/main/example/example-session.ts";
import type { ClipFacts } from "../../src/shared/session/clip-facts.ts";
import type { Session } from "../../src/shared/session/schema.ts";
import { variantFacts } from "../main/example/variant-facts.ts";
import { FULL_FACTS, fullSession, LAUNCHER_KINDS } from "./full-sessions.ts";

export interface SweepSession {
  readonly name: string;
  readonly session: Session;
  readonly facts: ClipFacts;
}

/** What is mutated: the example, and a session of each kind of launcher with every optional field. */
export function sweepSessions(): readonly SweepSession[] {
  return [
    { name: "example", session: exampleSession(1), facts: variantFacts("plain") },
    ...LAUNCHER_KINDS.map((kind) => ({ name: kind, session: fullSession(kind), facts: FULL_FACTS })),
  ];
}
