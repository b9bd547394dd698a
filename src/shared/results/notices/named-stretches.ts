/** A mark, or several that go by one name, in a frame. */
export interface NamedFrame {
  readonly name: string;
  readonly frame: number;
}

const NAMED = 6; // stretches named one by one; who has more of them looks at the residuals

/**
 * Frames as a person would list them, successive ones as one stretch: "nose in frames 40 to 42 and 44, tail
 * in frame 7".
 */
export function namedStretches(named: readonly NamedFrame[]): string {
  const frames = new Map<string, number[]>();
  for (const { name, frame } of named) {
    const list = frames.get(name);
    if (list) list.push(frame);
    else frames.set(name, [frame]);
  }
  let left = NAMED;
  let others = false;
  const said = [...frames].flatMap(([name, list]) => {
    const all = frameStretches(list);
    const some = all.slice(0, left);
    left -= some.length;
    others ||= some.length < all.length;
    return some.length === 0 ? [] : [`${name} in ${framesSaid(some)}`];
  });
  return said.join(", ") + (others ? " and others" : "");
}

type Stretch = readonly [from: number, to: number];

function framesSaid(stretches: readonly Stretch[]): string {
  const each = stretches.map(([from, to]) => (from === to ? `${from}` : `${from} to ${to}`));
  const [first] = stretches;
  if (each.length === 1)
    return `${first !== undefined && first[0] === first[1] ? "frame" : "frames"} ${each[0]}`;
  return `frames ${each.slice(0, -1).join(", ")} and ${each.at(-1)}`;
}

function frameStretches(frames: readonly number[]): readonly Stretch[] {
  const stretches: [from: number, to: number][] = [];
  for (const frame of [...frames].sort((a, b) => a - b)) {
    const last = stretches.at(-1);
    if (last !== undefined && frame - last[1] <= 1) last[1] = frame;
    else stretches.push([frame, frame]);
  }
  return stretches;
}
