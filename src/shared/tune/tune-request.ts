/** What a person asks for. */
export interface TuneRequest {
  readonly launcherId: string;
  readonly parameters: readonly string[];
  readonly shotIds: readonly string[];
  readonly heldOutShotIds: readonly string[];
}
