import type { Session } from "../../src/shared/session/schema.ts";
import { manyShots } from "./many-shots.ts";

/**
 * A session whose file is about so long: the example's shot as often as that takes, the first as it is, the others with marks that
 * nothing was entered for, as a follower leaves them: they cost room, not measuring.
 * @param marksEach marks of each further shot
 */
export function bigSession(bytes: number, marksEach = 3000): Session {
  const one = manyShots(2);
  const [first, second] = one.shots as [Session["shots"][number], Session["shots"][number]];
  const ids = one.points.map(({ id }) => id);
  const marks = Array.from({ length: marksEach }, (_, i) => ({
    pointId: ids[i % ids.length] as string,
    frame: Math.floor(i / ids.length),
    x: 100.25 + ((i * 37.125) % 1700),
    y: 90.5 + ((i * 17.0625) % 900),
    u: 0.4,
    by: "follower" as const,
  }));
  const filler = { ...second, scale: null, plumb: null, clip: null, marks };
  const count = Math.ceil(
    (bytes - JSON.stringify(one, null, 2).length) / JSON.stringify(filler, null, 2).length,
  );
  const more = Array.from({ length: count }, (_, i) => ({
    ...filler,
    id: `more-${i + 1}`,
    name: `More ${i + 1}`,
  }));
  return { ...one, shots: [first, ...more] };
}
