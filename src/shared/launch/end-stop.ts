/** J in the parts that run into a stop and N with which something drives them on there. */
export interface IntoStop {
  readonly kineticJ: number;
  readonly drivingN: number;
}

export interface EndStopLoad {
  /** J, taken by the buffer: kinetic, and the driving force over its travel. */
  readonly energyJ: number;
  /** N of a buffer of constant force. */
  readonly meanN: number;
  /** N at the end of the travel of a buffer that is a linear spring from no force on. */
  readonly peakN: number;
}

/**
 * Load of an end stop that brings the parts to rest in `travelM`: energy E = ½ m_p v² + F_d s; a
 * constant force takes it with E/s, a linear spring (½ k s² = E) ends at k s = 2 E/s. The driving force
 * is held at its value at release: gas expands little over the travel of a buffer, and what it loses makes
 * these a little high.
 * @param travelM m, > 0  @throws RangeError otherwise
 */
export function endStopLoad({ kineticJ, drivingN }: IntoStop, travelM: number): EndStopLoad {
  if (!(travelM > 0 && travelM < Infinity))
    throw new RangeError(`endStopLoad: travelM must be > 0; got ${travelM}`);
  const energyJ = kineticJ + drivingN * travelM;
  return { energyJ, meanN: energyJ / travelM, peakN: (2 * energyJ) / travelM };
}
