/**
 * One part of a combined uncertainty: its standard uncertainty and how many degrees of freedom that rests on,
 * Infinity when it is known.
 */
export interface UncertainPart {
  readonly u: number;
  readonly dof: number;
}

/**
 * Effective degrees of freedom of u_c = √Σu_i², ν = u_c⁴ / Σ(u_i⁴/ν_i), after Welch and Satterthwaite;
 * Infinity when every part that counts is known. Source: JCGM 100:2008, G.4.1, eq. G.2b.
 * @throws RangeError unless every u >= 0 and every dof > 0
 */
export function effectiveFreedom(parts: readonly UncertainPart[]): number {
  const wrong = parts.find(({ u, dof }) => !(u >= 0 && dof > 0));
  if (wrong) throw new RangeError(`effectiveFreedom: need u >= 0 and dof > 0; got ${wrong.u}, ${wrong.dof}`);
  const variance = parts.reduce((sum, { u }) => sum + u * u, 0);
  const spread = parts.reduce((sum, { u, dof }) => sum + u ** 4 / dof, 0);
  return spread > 0 ? variance ** 2 / spread : Number.POSITIVE_INFINITY;
}
