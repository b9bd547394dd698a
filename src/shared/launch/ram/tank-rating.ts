/** What a person states of the pressure that a tank may hold. */
export interface StatedRating {
  /** Pa gauge, the maker's rating of the weakest pressure part; null when unknown. */
  readonly tankRatingPa: number | null;
  /** 1, what temperature and age leave of it; all of it when left out. */
  readonly ratingShare?: number | null | undefined;
}

/** Pa gauge that the weakest pressure part is good for as it is; null when no rating is stated. */
export function ratingLeft({ tankRatingPa, ratingShare }: StatedRating): number | null {
  return tankRatingPa === null ? null : tankRatingPa * (ratingShare ?? 1);
}
