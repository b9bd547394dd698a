/** What a person asks for. */
export interface TuneRequest {
  readonly parameters: readonly string[];
  readonly shotIds: readonly string[];
  readonly heldOutShotIds: readonly string[];
}
