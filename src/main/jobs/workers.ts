import { createHash } from "node:crypto";
import { readFile } from "node:fs/promises";
import type { FrameView } from "../../shared/background/follow-background.ts";
import type { GreyImage } from "../../shared/follow/grey-image.ts";
import type { Session } from "../../shared/session/schema.ts";
import { createLimit } from "../media/limit-parallel.ts";
import type { FollowGives, FollowPicture, FollowSeen, Gives, HeavyTask, WatchStart } from "./heavy-task.ts";
import { startThread, type Thread } from "./worker-thread.ts";

export interface WorkOptions {
  readonly signal?: AbortSignal | undefined;
  /** Told when the work gets its turn. */
  readonly onStart?: () => void;
  /** How far it is, 0 to 1. */
  readonly onFraction?: (fraction: number) => void;
  /** Ends the work after so long without a sign of life, ms; without it there is no limit. */
  readonly patienceMs?: number;
}

/**
 * Threads for the work that would keep a host from answering. Aborting ends the thread
 * in the middle of its work.
 */
export interface Workers {
  /**
   * Does one task, when its turn has come. The session is null for a task that is of none.
   * @throws the signal's reason once aborted, OutOfPatience, or what the work threw, its stack with it
   */
  run<T extends HeavyTask>(session: Session | null, task: T, options?: WorkOptions): Promise<Gives<T>>;
  /**
   * Threads for some followers, as many as may work at the same time, which get their turn picture by
   * picture, before tasks that wait.
   */
  follow(followers: number, signal?: AbortSignal): Following;
  /** Digest of the program of the threads, all that measures in it; null when it cannot be read. */
  edition(): Promise<string | null>;
  /** The same for the watch of a still background. */
  watch(start: WatchStart, image: GreyImage, signal?: AbortSignal): Promise<Watching>;
}

/** The watch of a still background, in its thread. */
export interface Watching {
  /** How the first frame shows the scene. */
  readonly first: FrameView;
  /** How a frame shows it; null where that cannot be told. */
  see(frame: number, image: GreyImage): Promise<FrameView | null>;
  /** Lets go of the thread. To be called at the end, whatever happened. */
  close(): void;
}

/** Followers in their threads, numbered from 0. */
export interface Following {
  /** Begins some in a frame, and shows it to others. @returns those that have ended in it */
  see(picture: FollowPicture): Promise<readonly number[]>;
  /** What each followed until now; ends the following. Those that never began are left out. */
  followed(): Promise<FollowGives>;
  /** Lets go of the threads. To be called at the end, whatever happened. */
  close(): void;
}

export interface WorkersSetup {
  /** The built program of a thread. */
  readonly file: string;
  /** How many may work at the same time. */
  readonly most: number;
  readonly later?: (run: () => void, ms: number) => () => void;
}

// an idle thread keeps some 50 MB and its compiled code; after a minute the memory is worth more
const IDLE_MS = 60_000;

interface Idle {
  readonly thread: Thread;
  /** The session it was sent last. */
  readonly session: Session | null;
  readonly keep: () => void;
}

/** Makes the threads of a process: started when needed, kept for a while when idle. */
export function createWorkers({ file, most, later = afterMs }: WorkersSetup): Workers {
  const limit = createLimit(most);
  const idle: Idle[] = [];

  /** The idle thread that knows the session, else any, else a new one. */
  function taken(session: Session | null): { readonly thread: Thread; readonly knows: boolean } {
    const at = Math.max(
      0,
      idle.findIndex((one) => one.session === session),
    );
    const [found] = idle.splice(at, 1);
    found?.keep();
    if (found === undefined || found.thread.ended) {
      return { thread: startThread(file, later), knows: false };
    }
    return { thread: found.thread, knows: session !== null && found.session === session };
  }

  function putBack(thread: Thread, session: Session | null): void {
    if (thread.ended) return;
    const entry: Idle = {
      thread,
      session,
      keep: later(() => {
        idle.splice(idle.indexOf(entry), 1);
        void thread.end();
      }, IDLE_MS),
    };
    idle.push(entry);
  }

  let edition: Promise<string | null> | null = null;
  /** A thread that is held until it is let go, and asked in turn. */
  function held(signal: AbortSignal | undefined) {
    const { thread } = taken(null);
    let closed = false;
    return {
      thread,
      inTurn: <T>(ask: () => Promise<unknown>) => limit(true, signal, ask) as Promise<T>,
      close() {
        if (!closed) putBack(thread, null);
        closed = true;
      },
    };
  }

  return {
    edition() {
      edition ??= readFile(file).then(
        (text) => createHash("sha256").update(text).digest("hex").slice(0, 16),
        () => null, // no cache is better than one of another program
      );
      return edition;
    },
    run<T extends HeavyTask>(session: Session | null, task: T, options: WorkOptions = {}): Promise<Gives<T>> {
      const { signal, onFraction, patienceMs } = options;
      return limit(false, signal, async () => {
        signal?.throwIfAborted();
        options.onStart?.();
        const { thread, knows } = taken(session);
        try {
          const message = { kind: "task", task, ...(knows || session === null ? {} : { session }) } as const;
          return (await thread.ask(message, { signal, onFraction, patienceMs })) as Gives<T>;
        } finally {
          putBack(thread, session);
        }
      });
    },

    follow(followers, signal) {
      const all = Array.from({ length: Math.max(1, Math.min(most, followers)) }, () => held(signal));
      const isOf = (at: number) => (id: number) => id % all.length === at;
      return {
        async see({ begin, see, ...picture }) {
          const seen = await Promise.all(
            all.map(({ thread, inTurn }, at) => {
              const share = { begin: begin.filter(({ id }) => isOf(at)(id)), see: see.filter(isOf(at)) };
              if (share.begin.length + share.see.length === 0) return { ended: [] };
              const message = { kind: "follow-picture", picture: { ...picture, ...share } } as const;
              return inTurn<FollowSeen>(() => thread.ask(message, { signal }));
            }),
          );
          return seen.flatMap(({ ended }) => ended);
        },
        async followed() {
          const shares = await Promise.all(
            all.map(({ thread, inTurn }) =>
              inTurn<FollowGives>(() => thread.ask({ kind: "follow-end" }, { signal })),
            ),
          );
          return new Map(shares.flatMap((share) => [...share]));
        },
        close: () => {
          for (const { close } of all) close();
        },
      };
    },

    async watch(start, image, signal) {
      const { thread, inTurn, close } = held(signal);
      try {
        const first = await inTurn<FrameView>(() =>
          thread.ask({ kind: "watch-from", start, image }, { signal }),
        );
        return {
          first,
          see: (frame, picture) =>
            inTurn(() => thread.ask({ kind: "watch-see", frame, image: picture }, { signal })),
          close,
        };
      } catch (error) {
        close();
        throw error;
      }
    },
  };
}

function afterMs(run: () => void, ms: number): () => void {
  const timer = setTimeout(run, ms).unref();
  return () => clearTimeout(timer);
}
