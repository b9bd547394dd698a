import type { GreyImage } from "../follow/grey-image.ts";
import type { PxPoint } from "../quantity/point.ts";

/** A thin, straight, nearly upright line that ends within the picture. */
export interface HangingLine {
  readonly top: PxPoint;
  readonly bottom: PxPoint;
  /** Standard uncertainty across the line of a place on it, px, from how straight it is. */
  readonly uPx: number;
}

const BESIDE = 4; // px from its middle where what lies behind a thin line shows
const FARTHER = 10; // px where the same still lies behind it: beside the light on a pole there is the pole
const SAME_BEHIND = 0.8; // of its depth
const LEAST_DEPTH = 14; // grey levels that it is darker or lighter than both sides
const LEAST_SHARE = 0.15; // of the picture's height
const LEAST_PX = 60;
const MOST_LEAN = Math.tan((5 * Math.PI) / 180); // of a camera on a tripod
const BREAK = 6; // rows without it: a knot, a mark, noise
const FILLED = 0.7; // of its rows it must show in
const MOST_BENT_PX = 0.5; // rms off the straight line: a cord with a weight is straight, a twig is not
const FREE_PX = 6; // from the picture's edge: what leaves the picture may be a pole, a wire, a wall's edge
const MOST = 3;
const LEAST_U_PX = 0.1;

interface Chain {
  readonly xs: number[];
  readonly ys: number[];
  readonly sign: 1 | -1;
}

/**
 * Lines that may hang with a weight on them: thin, straight, within 5° of the picture's upright, darker or
 * lighter than what lies on both sides, and with both ends in the picture. The longest first.
 */
export function findHangingLines(image: GreyImage): readonly HangingLine[] {
  const { height } = image;
  const least = Math.max(LEAST_PX, LEAST_SHARE * height);
  const done: Chain[] = [];
  let open: Chain[] = [];
  for (let y = 0; y < height; y++) {
    const peaks = peaksOf(image, y);
    const taken = new Set<Chain>();
    for (const { x, sign } of peaks) {
      const chain = nearest(open, x, y, sign, taken);
      if (chain === null) {
        const begun: Chain = { xs: [x], ys: [y], sign };
        open.push(begun);
        taken.add(begun);
      } else {
        chain.xs.push(x);
        chain.ys.push(y);
        taken.add(chain);
      }
    }
    const going: Chain[] = [];
    for (const chain of open) {
      if (y - (chain.ys.at(-1) as number) <= BREAK) going.push(chain);
      else if (y - (chain.ys[0] as number) >= least) done.push(chain);
    }
    open = going;
  }
  const lines = [...done, ...open].flatMap((chain) => lineOf(chain, least, height));
  return lines
    .sort((a, b) => b.bottom[1] - b.top[1] - (a.bottom[1] - a.top[1]))
    .filter((line, i, all) => !all.slice(0, i).some((other) => isSame(line, other)))
    .slice(0, MOST);
}

/** Places in a row that are darker, or lighter, than what lies to both sides, to a fraction of a pixel. */
function peaksOf({ width, data }: GreyImage, y: number): { readonly x: number; readonly sign: 1 | -1 }[] {
  const peaks: { x: number; sign: 1 | -1 }[] = [];
  const row = y * width;
  const at = (x: number) => data[row + x] as number;
  for (let x = BESIDE; x < width - BESIDE; x++) {
    const [here, left, right] = [at(x), at(x - BESIDE), at(x + BESIDE)];
    const sign = here < left ? 1 : -1;
    const depth = sign === 1 ? Math.min(left, right) - here : here - Math.max(left, right);
    if (depth < LEAST_DEPTH) continue;
    if (sign * at(x - 1) < sign * here || sign * at(x + 1) <= sign * here) continue; // not its middle
    const behind = (near: number, x2: number) => Math.abs(near - at(Math.max(0, Math.min(width - 1, x2))));
    if (Math.max(behind(left, x - FARTHER), behind(right, x + FARTHER)) > SAME_BEHIND * depth) continue;
    let [sum, weights] = [0, 0];
    for (let k = -BESIDE + 1; k < BESIDE; k++) {
      const background = left + ((right - left) * (k + BESIDE)) / (2 * BESIDE);
      const weight = Math.max(0, sign * (background - at(x + k)));
      sum += weight * k;
      weights += weight;
    }
    peaks.push({ x: x + sum / weights, sign });
  }
  return peaks;
}

function nearest(open: readonly Chain[], x: number, y: number, sign: 1 | -1, taken: ReadonlySet<Chain>) {
  let [best, off]: [Chain | null, number] = [null, 0];
  for (const chain of open) {
    if (chain.sign !== sign || taken.has(chain)) continue;
    const [lastX, lastY] = [chain.xs.at(-1) as number, chain.ys.at(-1) as number];
    const distance = Math.abs(x - lastX);
    if (distance <= 1 + 0.1 * (y - lastY) && (best === null || distance < off))
      [best, off] = [chain, distance];
  }
  return best;
}

function lineOf({ xs, ys }: Chain, least: number, height: number): readonly HangingLine[] {
  const [first, last] = [ys[0] as number, ys.at(-1) as number];
  if (last - first < least || ys.length < FILLED * (last - first + 1)) return [];
  if (first < FREE_PX || last > height - 1 - FREE_PX) return [];
  const n = ys.length;
  const meanY = ys.reduce((sum, y) => sum + y, 0) / n;
  const meanX = xs.reduce((sum, x) => sum + x, 0) / n;
  let [yy, xy] = [0, 0];
  ys.forEach((y, i) => {
    yy += (y - meanY) ** 2;
    xy += (y - meanY) * ((xs[i] as number) - meanX);
  });
  const lean = xy / yy;
  if (Math.abs(lean) > MOST_LEAN) return [];
  const xAt = (y: number) => meanX + lean * (y - meanY);
  const rms = Math.sqrt(ys.reduce((sum, y, i) => sum + ((xs[i] as number) - xAt(y)) ** 2, 0) / n);
  if (rms > MOST_BENT_PX) return [];
  const [top, bottom] = [first, last].map((y): PxPoint => [xAt(y) + 0.5, y + 0.5]) as [PxPoint, PxPoint];
  return [{ top, bottom, uPx: Math.max(LEAST_U_PX, rms) }];
}

function isSame(a: HangingLine, b: HangingLine): boolean {
  const middle = (a.top[1] + a.bottom[1]) / 2;
  const xOf = ({ top, bottom }: HangingLine) =>
    top[0] + ((bottom[0] - top[0]) * (middle - top[1])) / (bottom[1] - top[1]);
  return Math.abs(xOf(a) - xOf(b)) < 2 * BESIDE;
}
