/** A place in a frame, px, and when. */
export interface TimedPlace {
  readonly x: number;
  readonly y: number;
  readonly time: number;
}

const NEAR = 10; // places to either side that tell of a place's scatter: compression differs at rest and in motion
const LEAST = 8; // departures; fewer say little of their size
const PER_MEDIAN = 1.4826; // sd of a normal over the median of its size
const APART = [1, 2] as const; // places between those that are held against each other: errors last for a few frames

/**
 * The scatter that the places of a run show by themselves, px in each coordinate: how far each lies from
 * the parabola through three before it, which any motion of slowly changing acceleration leaves nothing of
 * but the errors, over √(1 + Σ w²) of the parabola's weights; robust, by the median over the places near
 * it. Places beside each other, and every second one: of both the larger, because what a coder leaves lasts
 * for more than a frame. Source: Gasser, Sroka & Jennen-Steinmetz, Biometrika 73:625 (1986), for residuals
 * from neighbours (there the line through two).
 * @returns for each place its scatter; null where there are too few about it
 */
export function shownScatter(places: readonly TimedPlace[]): readonly (number | null)[] {
  const departures = APART.map((step) => departuresOf(places, step));
  return places.map((_, at) => {
    const sizes = departures.map((of) => middleOf(of.slice(Math.max(0, at - NEAR), at + NEAR + 1)));
    return sizes.reduce<number | null>(
      (a, b) => (a === null || b === null ? (a ?? b) : Math.max(a, b)),
      null,
    );
  });
}

/**
 * Of each place the sizes of its departure in x and in y, in units of one place's error; none at the ends.
 */
function departuresOf(places: readonly TimedPlace[], step: number): readonly (readonly number[])[] {
  return places.map((_, at) => {
    // About the middle of the four, so that a place's neighbours on both sides tell of it.
    const four = [-1, 0, 1, 2].map((k) => places[at + k * step]);
    if (four.some((one) => one === undefined)) return [];
    const [a, b, c, d] = four as readonly TimedPlace[];
    const w = weightsAt([a.time, b.time, c.time], d.time);
    const norm = Math.sqrt(1 + w[0] ** 2 + w[1] ** 2 + w[2] ** 2);
    return [
      Math.abs(d.x - w[0] * a.x - w[1] * b.x - w[2] * c.x) / norm,
      Math.abs(d.y - w[0] * a.y - w[1] * b.y - w[2] * c.y) / norm,
    ];
  });
}

function middleOf(departures: readonly (readonly number[])[]): number | null {
  const sizes = departures.flat().sort((a, b) => a - b);
  return sizes.length < 2 * LEAST ? null : PER_MEDIAN * sizes[Math.floor(sizes.length / 2)];
}

function weightsAt(times: readonly [number, number, number], at: number): readonly number[] {
  return times.map((own, i) =>
    times.reduce((product, other, j) => (j === i ? product : (product * (at - other)) / (own - other)), 1),
  );
}
