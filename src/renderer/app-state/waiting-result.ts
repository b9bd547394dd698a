import type { JobReply } from "../../shared/api/job-contract.ts";
import type { Followed } from "../../shared/follow/followed.ts";
import type { TuneRequest } from "../../shared/tune/tune-request.ts";
import type { SessionTuning } from "../../shared/tune/tune-session.ts";

/** What a job came to that is not in the document: a person takes it or discards it. */
export type WaitingResult = WaitingMarks | WaitingTuning;

interface Offered {
  readonly job: JobReply;
  /** What came, and when. */
  readonly says: string;
  /** What it depends on that has changed; null where nothing has. */
  readonly doubt: string | null;
  /** False where the document has no place for it any more. */
  readonly canTake: boolean;
}

export interface WaitingMarks extends Offered {
  readonly kind: "follow";
  readonly shotId: string;
  readonly points: readonly {
    readonly pointId: string;
    readonly point: string;
    readonly followed: Followed;
  }[];
}

export interface WaitingTuning extends Offered {
  readonly kind: "tune";
  readonly request: TuneRequest;
  readonly value: SessionTuning;
}
