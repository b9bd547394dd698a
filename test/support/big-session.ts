import type { Session } from "../../src/shared/session/schema.ts";
import { manyShots } from "./many-shots.ts";

/**
 * A session that is about so long as JSON without spaces: the example's shot as often as that takes, the
 * first as it is, the others with followed marks and no scale: they cost room, not measuring.
 * @param each marks of each further shot, and characters of notes: many notes make many shots of one size
 */
export function bigSession(bytes: number, each = { marks: 3000, notes: 0 }): Session {
  const one = manyShots(2);
  const [first, second] = one.shots as [Session["shots"][number], Session["shots"][number]];
  const ids = one.points.map(({ id }) => id);
  const marks = Array.from({ length: each.marks }, (_, i) => ({
    pointId: ids[i % ids.length] as string,
    frame: Math.floor(i / ids.length),
    x: 100.25 + ((i * 37.125) % 1700),
    y: 90.5 + ((i * 17.0625) % 900),
    u: 0.4,
    by: "follower" as const,
  }));
  const filler = { ...second, scale: null, plumb: null, clip: null, marks, notes: "n".repeat(each.notes) };
  const count = Math.ceil((bytes - JSON.stringify(one).length) / JSON.stringify(filler).length);
  const more = Array.from({ length: count }, (_, i) => ({
    ...filler,
    id: `more-${i + 1}`,
    name: `More ${i + 1}`,
  }));
  return { ...one, shots: [first, ...more] };
}
