import type {
  ClipEntry,
  DamagedFrame,
  KeptMeasurement,
  LogReply,
  Moment,
  OutingsReply,
  SessionReply,
  UndoReply,
} from "../../shared/api/contract.ts";
import type { JobReply, JobRequest } from "../../shared/api/job-contract.ts";
import type { ShelfChange, ShelfChangedReply } from "../../shared/api/shelf-contract.ts";
import type { Fault } from "../../shared/quantity/notice.ts";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { JournalStep } from "../../shared/session/journal.ts";
import type { Session } from "../../shared/session/schema.ts";
import type { Shelf } from "../../shared/shelf/shelf-schema.ts";

export type FrameSize = "full" | "half";

/**
 * What the host is and what it can do, and the folder that is shown: a browser on the loopback host cannot
 * open a native folder picker.
 */
export interface HostInfo extends OpenFolder {
  readonly host: string;
  readonly canPickFolder: boolean;
}

/** A field folder that the host has open: the id that requests name it by, its real path, its name. */
export interface OpenFolder {
  readonly id: string;
  readonly folder: string;
  readonly name: string;
}

/** A field folder that was opened before, on this machine, in whichever host. */
export interface RecentFolder {
  /** Its path when it was opened. */
  readonly folder: string;
  readonly name: string;
  /** ISO 8601; null when that is not known. */
  readonly openedAt: string | null;
  /** Whether it is at its path; "unknown" when its disk does not answer. */
  readonly standing: "there" | "gone" | "unknown";
}

/**
 * What tells this content of a clip's file from another of the same name: its facts or
 * its entry in the folder do.
 */
export type ClipContent = Pick<ClipFacts, "bytes" | "modifiedMs">;

/** What the window asks of the service and its host. Failures are FaultErrors. */
export interface Service {
  session(): Promise<SessionReply>;
  /** Saves steps made since a revision. `leaving` says that the page goes away. @returns the new revision */
  saveSteps(steps: readonly JournalStep[], baseRevision: string, leaving: boolean): Promise<string>;
  /** What was done, the newest first. */
  history(): Promise<readonly Moment[]>;
  /** The steps that lead to the session's last state; null when there are none. */
  undoSteps(): Promise<UndoReply["undo"]>;
  moment(id: string): Promise<Session>;
  /**
   * Puts a state of the history in place of a session file that cannot be read.
   * @returns the name that file has now
   */
  recover(moment: string): Promise<string>;
  clips(): Promise<readonly ClipEntry[]>;
  /** Results kept of the shots, each with the key of what it was computed from. */
  measured(): Promise<readonly KeptMeasurement[]>;
  keepMeasured(one: KeptMeasurement): Promise<void>;
  /** The folder's CSV files, and one of them. */
  logs(): Promise<readonly string[]>;
  log(name: string): Promise<LogReply>;
  /** How the folders of other outings stand to the copies that the session keeps, by the outing's id. */
  outings(): Promise<OutingsReply["standings"]>;
  /** The person's shelf, the same for every folder; null where the host keeps none. */
  shelf(): Promise<Shelf | null>;
  changeShelf(change: ShelfChange): Promise<ShelfChangedReply>;
  /** The frames of a clip known so far that cannot be shown. */
  damage(clip: string): Promise<readonly DamagedFrame[]>;
  /** Starts a job and follows it; a cancelled job resolves with its state. */
  job(request: JobRequest, follow: FollowJob): Promise<JobReply>;
  /** The folder's jobs that run, and those whose result waits to be taken. */
  jobs(): Promise<readonly JobReply[]>;
  /**
   * Follows a job that another window started, to its end, or until another window has taken what it came to.
   */
  adopt(id: string, follow: FollowJob): Promise<JobReply>;
  /** Says that the result of a job is safe and need not wait any longer. */
  taken(id: string): Promise<void>;
  /** One frame as JPEG; the service inspects the clip by itself if need be. */
  frame(
    clip: string,
    index: number,
    size: FrameSize,
    content: ClipContent,
    signal: AbortSignal,
  ): Promise<Blob>;
  frameUrl(clip: string, index: number, size: FrameSize, content: ClipContent): string;
  /** The host, and the folder of this window. */
  host(): Promise<HostInfo>;
  /** The folders that the host has open, this window's or not. */
  openFolders(): Promise<readonly OpenFolder[]>;
  /** Has the host open another folder; this window goes on showing its own until `show`. */
  openFolder(path: string): Promise<OpenFolder>;
  /** The folders opened before, open now or not, the one opened last first. */
  recentFolders(): Promise<readonly RecentFolder[]>;
  /** Takes one off that list; the folder itself is not touched. */
  forgetFolder(folder: string): Promise<void>;
  /** Leaves this folder's page for that of another open folder. */
  show(folder: OpenFolder): void;
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
  /** Of a follow: how far each of its ways has come. */
  readonly follows?: readonly FollowedSpan[];
}

/** The frames of one way of a follow: where it began, where it has come to, where it is to end. */
export interface FollowedSpan {
  readonly shotId: string;
  readonly pointId: string;
  readonly from: number;
  readonly reached: number;
  readonly to: number;
}

/** What is known of a clip in this window: being looked at, known, or why not. */
export type ClipKnowledge =
  | { readonly status: "inspecting" }
  | {
      readonly status: "known";
      readonly facts: ClipFacts;
      /** Of the whole content; null until all of the file was read. */
      readonly fingerprint: string | null;
    }
  | {
      readonly status: "failed";
      readonly fault: Fault;
      /** The file is there, but not whether it is the one that was marked: nothing may be measured. */
      readonly doubtful?: true;
    };
