const MODULUS = 65521; // largest prime below 2^16, RFC 1950, section 9
const RUN = 3800; // bytes before the sums could leave 31 bits: 255 n(n+1)/2 + (n+1)(MODULUS-1) < 2^31

/** Adler-32 (RFC 1950) begun at 0 instead of 1, as ffmpeg counts the packets of a framecrc listing. */
export function adler32(data: Uint8Array): number {
  let a = 0;
  let b = 0;
  for (let start = 0; start < data.length; start += RUN) {
    const end = Math.min(start + RUN, data.length);
    let i = start;
    // Four at a time, so that one sum need not wait for the other: half the time of one at a time.
    for (; i + 3 < end; i += 4) {
      const [p, q, r, s] = [
        data[i] as number,
        data[i + 1] as number,
        data[i + 2] as number,
        data[i + 3] as number,
      ];
      b += 4 * a + 4 * p + 3 * q + 2 * r + s;
      a += p + q + r + s;
    }
    for (; i < end; i++) {
      a += data[i] as number;
      b += a;
    }
    a %= MODULUS;
    b %= MODULUS;
  }
  return ((b << 16) | a) >>> 0;
}
