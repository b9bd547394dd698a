/**
 * The code of every failure that reaches a person or a program, by the room it arises in. Texts stand where
 * the fault is made. The API carries codes to programs, so one that was there stays.
 */
export type FaultCode =
  | ServiceFaultCode
  | FolderFaultCode
  | ClipFaultCode
  | SessionFaultCode
  | WindowFaultCode
  | FollowFaultCode
  | TuneFaultCode
  | ThrustCurveFaultCode
  | CurveFaultCode
  | LogFaultCode
  | ShelfFaultCode
  | CarryFaultCode
  | OutingFaultCode;

/** Of requests, jobs and hosts. */
type ServiceFaultCode =
  | "bad-request"
  | "body-too-large"
  | "cancelled"
  | "folder-not-named"
  | "folder-not-open"
  | "internal-error"
  | "method-not-allowed"
  | "no-answer"
  | "no-passage"
  | "no-such-job"
  | "no-such-route"
  | "not-json"
  | "port-in-use"
  | "reply-too-large"
  | "took-too-long"
  | "unexpected"
  | "unexpected-answer"
  | `status-${number}`;

/** Of a former shot's set-up looked for on another clip. */
type CarryFaultCode = "no-set-up" | "has-set-up" | "no-place" | "other-scene" | "other-size" | "other-zoom";

/** Of the field folder and what is written into it, down to the disk. */
type FolderFaultCode =
  | DiskFaultCode
  | "example-exists"
  | "example-unwritable"
  | "file-read-only"
  | "folder-busy"
  | "folder-gone"
  | "folder-read-only"
  | "lock-lost"
  | "no-such-folder"
  | "not-a-folder"
  | "outside-folder";

/** Of a disk that refuses what the system asked of it. */
export type DiskFaultCode =
  | "bad-file-name"
  | "bad-link"
  | "disk-error"
  | "disk-full"
  | "disk-gone"
  | "disk-slow"
  | "file-too-large"
  | "in-the-way"
  | "in-use"
  | "no-memory"
  | "no-such-file"
  | "not-allowed"
  | "not-locked"
  | "not-supported"
  | "read-only-disk"
  | "too-many-files";

/** Of clips and their frames. */
type ClipFaultCode =
  | "another-clip"
  | "bad-clip-name"
  | "broken-link"
  | "cache-too-small"
  | "cache-unwritable"
  | "clip-changed"
  | "clip-changing"
  | "clip-cut-off"
  | "clip-empty"
  | "clip-gone"
  | "clip-missing"
  | "clip-unreadable"
  | "codec-unknown"
  | "encode-failed"
  | "ffmpeg-missing"
  | "ffmpeg-too-old"
  | "ffmpeg-unusable"
  | "frame-damaged"
  | "frames-not-exact"
  | "interlaced"
  | "no-clip"
  | "no-frame-times"
  | "no-frames"
  | "no-such-clip"
  | "no-such-frame"
  | "no-video-stream"
  | "not-a-video"
  | "not-inspected"
  | "not-read";

/** Of the session, its journal and its history. */
type SessionFaultCode =
  | "bad-session"
  | "bad-steps"
  | "broken-session"
  | "newer-session"
  | "no-session"
  | "no-shots"
  | "no-such-moment"
  | "not-a-session"
  | "session-changed"
  | "session-moved-on"
  | "session-too-large"
  | "unknown-point"
  | "unknown-shot";

/** What the window tells by itself: of results that waited, and of what cannot be done now. */
type WindowFaultCode =
  | "drawn-before"
  | "followed-meanwhile"
  | "not-measured"
  | "not-saved"
  | "not-followed"
  | "no-target"
  | "only-looking"
  | "still-changing"
  | "tuned-meanwhile"
  | "write-up-made";

/** Of following a point. */
type FollowFaultCode =
  | "background-unseen"
  | "no-hand-mark"
  | `follow-${"no-detail" | "shaded" | "edge" | "left" | "unlike" | "unsettled" | "beyond" | "two-alike" | "blurred" | "faded" | "stopped"}`;

/** Of a request to tune, and of a tuning that gives nothing. */
export type TuneFaultCode =
  | "impossible-input"
  | "no-airframe-mass"
  | "no-gauge-pressure"
  | "no-launch"
  | "no-launcher"
  | "no-parameters"
  | "no-shots"
  | "no-shots-to-tune"
  | "not-settled"
  | "nothing-to-tune"
  | "shot-not-measured"
  | "shot-of-another-launcher"
  | "shot-twice"
  | "too-few-data"
  | "too-much-work"
  | "unknown-parameter"
  | "unknown-shot";

/** Of a thrust curve as text or as points. */
export type ThrustCurveFaultCode = `thrust-curve-${
  | "line"
  | "short"
  | "long"
  | "number"
  | "time"
  | "order"
  | "negative"
  | "none"
  | "end"}`;

/** Of a record of one value against time, as text. */
export type CurveFaultCode = `curve-${
  | "empty"
  | "column"
  | "columns"
  | "number"
  | "order"
  | "uncertainty"
  | "unit"
  | "few"
  | "long"
  | "constant"}`;

/** Of a log carried on board. */
type LogFaultCode = "log-unit" | "no-such-log" | "log-too-large";

/** Of other outings that a session names. */
type OutingFaultCode = "same-outing" | "outing-named-already" | "no-such-outing";

/** Of the person's shelf. */
type ShelfFaultCode = "broken-shelf" | "newer-shelf" | "no-shelf" | "no-such-thing" | "not-on-shelf";
