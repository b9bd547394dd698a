import type { Workers } from "../jobs/workers.ts";
import type { Media } from "../media/media.ts";
import type { FieldFolder } from "../store/field-folder.ts";
import type { SessionFile } from "../store/session-file.ts";
import type { ClipProposals } from "./clip-proposals.ts";
import type { FactsOf } from "./facts-cache.ts";
import type { Jobs } from "./jobs.ts";

/** What jobs work with. */
export interface JobParts {
  readonly folder: FieldFolder;
  readonly sessionFile: SessionFile;
  readonly jobs: Jobs;
  readonly factsOf: FactsOf;
  readonly propose: ClipProposals;
  readonly media: Media;
  readonly workers: Workers;
  readonly log: (error: unknown) => void;
}
