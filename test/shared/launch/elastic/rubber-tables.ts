type Row = [extensionM: number, forceN: number];

/** Made-up rubber with a loop: force against extension drawn out, and let in again. */
export const RUBBER_TABLES: { readonly loading: readonly Row[]; readonly unloading: readonly Row[] } = {
  loading: [
    [0, 0],
    [0.5, 14],
    [1, 22],
    [2, 31],
    [3, 37],
    [4.5, 47],
    [6, 66],
  ],
  unloading: [
    [0, 0],
    [0.5, 9],
    [1, 16],
    [2, 24],
    [3, 30],
    [4.5, 41],
    [6, 65],
  ],
};
