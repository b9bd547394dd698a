/** A vector that is zero but at some places. */
export interface SparseVector {
  readonly at: readonly number[];
  readonly weights: readonly number[];
}

const AT_ONCE = 4;

/**
 * The sum of wᵀ A⁻¹ w over several sparse vectors: of the squares of L⁻¹ w, A = L Lᵀ. Four are solved at
 * a time, so that each row of L is read once for all of them; the order of every sum is that of one by one.
 * Cost: n²/2 a vector, less where it begins late or rows of L begin with zeros.
 * @param l [n*n] as choleskyInPlace leaves it
 */
export function sumOfInverseForms(l: Float64Array, n: number, vectors: readonly SparseVector[]): number {
  let sum = 0;
  const z = new Float64Array(AT_ONCE * n);
  for (let group = 0; group < vectors.length; group += AT_ONCE) {
    const four = vectors.slice(group, group + AT_ONCE);
    const first = Math.min(...four.flatMap(({ at }) => at));
    z.fill(0, AT_ONCE * first);
    four.forEach(({ at, weights }, which) => {
      at.forEach((index, i) => {
        z[AT_ONCE * index + which] = weights[i];
      });
    });
    solveFour(l, n, z, first);
    for (let which = 0; which < four.length; which++) {
      for (let i = first; i < n; i++) sum += z[AT_ONCE * i + which] * z[AT_ONCE * i + which];
    }
  }
  return sum;
}

/** L z = b for four right-hand sides side by side, in place. @param first where the first of them begins */
function solveFour(l: Float64Array, n: number, z: Float64Array, first: number): void {
  for (let i = first; i < n; i++) {
    const row = i * n;
    const own = AT_ONCE * i;
    let k = first;
    while (k < i && l[row + k] === 0) k++;
    let z0 = z[own];
    let z1 = z[own + 1];
    let z2 = z[own + 2];
    let z3 = z[own + 3];
    for (; k < i; k++) {
      const x = l[row + k];
      const at = AT_ONCE * k;
      z0 -= x * z[at];
      z1 -= x * z[at + 1];
      z2 -= x * z[at + 2];
      z3 -= x * z[at + 3];
    }
    const pivot = l[row + i];
    z[own] = z0 / pivot;
    z[own + 1] = z1 / pivot;
    z[own + 2] = z2 / pivot;
    z[own + 3] = z3 / pivot;
  }
}
