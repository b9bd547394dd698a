import { exampleSession } from "../../src/main/example/example-session.ts";
import type { Session } from "../../src/shared/session/schema.ts";

/** A session with the example's shot so many times, each as one of its own: work that takes a while. */
export function manyShots(count: number, clip?: string): Session {
  const session = exampleSession(1);
  const [shot] = session.shots;
  if (shot === undefined) throw new RangeError("manyShots: the example has no shot");
  const shots = Array.from({ length: count }, (_, i) => ({
    ...shot,
    id: `shot-${i + 1}`,
    name: `Shot ${i + 1}`,
    clip: clip ?? shot.clip,
  }));
  return { ...session, shots };
}
