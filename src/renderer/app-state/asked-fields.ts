/** The field of a rod's length: of the first, or of a further one by its place in the list. */
export function rodField(shotId: string, at: number | null): string {
  return at === null ? `${shotId} rod` : `${shotId} rod ${at + 2}`;
}

/** The field of a shot's capture rate. */
export function rateField(shotId: string): string {
  return `${shotId} capture-rate`;
}

/** The field of a shot's gauge pressure. */
export function gaugeField(shotId: string): string {
  return `${shotId} gauge`;
}
