/**
 * Pictures that carry their own number: a row of bars, one a bit, light for 1. Survives
 * lossy coding and scaling.
 */

const BITS = 10;
const DARK = 40;
const LIGHT = 215;

/**
 * Grey picture, row by row: bar k (from the left, least bit first) fills the full height of column k of ten.
 */
export function numberedPicture(width: number, height: number, number: number): Uint8Array {
  const row = Uint8Array.from({ length: width }, (_, x) => {
    const bit = Math.floor((x * BITS) / width);
    return (number >> bit) & 1 ? LIGHT : DARK;
  });
  const picture = new Uint8Array(width * height);
  for (let y = 0; y < height; y++) picture.set(row, y * width);
  // A dark head and a light foot tell which way up the picture stands.
  picture.fill(DARK, 0, width * Math.floor(height / 4));
  picture.fill(LIGHT, width * (height - Math.floor(height / 8)));
  return picture;
}

/** How an upright picture relates to the stored one, as a clockwise turn in degrees. */
export type Turn = 0 | 90 | 180 | 270;

/**
 * The number of an upright grey picture whose stored form was made by numberedPicture and then turned.
 * @throws Error when a bar is neither dark nor light, or the picture does not stand as `turn` says
 */
export function readNumber(upright: Uint8Array, width: number, height: number, turn: Turn = 0): number {
  const at = (u: number, v: number) => {
    // (u, v): place in the stored picture, 0 to 1; the upright place follows from the turn.
    const [x, y] =
      turn === 0 ? [u, v] : turn === 90 ? [1 - v, u] : turn === 180 ? [1 - u, 1 - v] : [v, 1 - u];
    const [column, line] = [Math.floor(x * width), Math.floor(y * height)];
    return isLight(upright[line * width + column] ?? -1);
  };
  if (at(0.5, 0.12) || !at(0.5, 0.95))
    throw new Error(`the picture does not stand turned by ${turn} degrees`);
  let number = 0;
  for (let bit = 0; bit < BITS; bit++) if (at((bit + 0.5) / BITS, 0.5)) number |= 1 << bit;
  return number;
}

function isLight(value: number): boolean {
  if (value > 175) return true;
  if (value >= 0 && value < 80) return false;
  throw new Error(`a bar is neither dark nor light: ${value}`);
}
