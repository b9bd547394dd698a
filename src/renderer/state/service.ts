import type {
  ClipEntry,
  DamagedFrame,
  JobReply,
  JobRequest,
  SessionReply,
} from "../../shared/api/contract.ts";
import type { Fault } from "../../shared/quantity/notice.ts";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { Session } from "../../shared/session/schema.ts";

export type FrameSize = "full" | "half";

/** What the host is and what it can do: a browser on the loopback host cannot open a native folder picker. */
export interface HostInfo {
  readonly host: string;
  readonly folder: string | null;
  readonly canPickFolder: boolean;
}

/** What tells this content of a clip's file from another of the same name: its facts or its entry in the folder do. */
export type ClipContent = Pick<ClipFacts, "bytes" | "modifiedMs">;

/** What the window asks of the service and its host. Failures are FaultErrors. */
export interface Service {
  session(): Promise<SessionReply>;
  save(session: Session, baseRevision: string, leaving: boolean): Promise<string>;
  clips(): Promise<readonly ClipEntry[]>;
  /** The frames of a clip known so far that cannot be shown. */
  damage(clip: string): Promise<readonly DamagedFrame[]>;
  /** Starts a job and follows it; a cancelled job resolves with its state. */
  job(request: JobRequest, follow: FollowJob): Promise<JobReply>;
  /** One frame as JPEG; the service inspects the clip by itself if need be. */
  frame(
    clip: string,
    index: number,
    size: FrameSize,
    content: ClipContent,
    signal: AbortSignal,
  ): Promise<Blob>;
  frameUrl(clip: string, index: number, size: FrameSize, content: ClipContent): string;
  host(): Promise<HostInfo>;
  openFolder(path: string): Promise<void>;
  /** The host's own folder picker; null when there is none, or nothing was picked. */
  pickFolder(): Promise<string | null>;
}

export interface FollowJob {
  readonly signal?: AbortSignal;
  readonly onProgress?: (job: JobReply) => void;
}

/** A job a person can see and stop. */
export interface JobView {
  readonly key: string;
  readonly doing: string;
  readonly fraction: number;
  readonly secondsLeft: number | null;
}

/** What is known of a clip in this window: being looked at, known, or why not. */
export type ClipKnowledge =
  | { readonly status: "inspecting" }
  | { readonly status: "known"; readonly facts: ClipFacts }
  | { readonly status: "failed"; readonly fault: Fault };
