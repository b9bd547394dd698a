import type { Proposals } from "../../shared/propose/proposals.ts";
import { type AppState, atFrame, shotOf } from "../app-state/app-state.ts";
import { standingOf } from "../app-state/clip-standing.ts";
import { offeredSetUp } from "../app-state/offered-set-up.ts";
import type { Store } from "../store/store.ts";
import type { Jobs } from "./jobs.ts";

export interface LookThroughParts {
  readonly store: Store<AppState>;
  readonly jobs: Pick<Jobs, "run">;
  readonly later: (run: () => void, ms: number) => () => void;
}

const LOOK_AFTER_MS = 700; // the first picture goes before

/**
 * Looks through the clip in view for what a person may want to take, where the shot still lacks it: once for
 * each content of a file. Where the person has not chosen a frame yet, the one before first motion is shown.
 */
export function createLookThrough({ store, jobs, later }: LookThroughParts): () => void {
  const get = store.get;
  const asked = new Set<string>();

  return function look(): void {
    const wanted = wantedOf(get());
    if (wanted === null || asked.has(wanted.key)) return;
    asked.add(wanted.key);
    later(() => void lookThrough(wanted.clip), LOOK_AFTER_MS);
  };

  async function lookThrough(clip: string): Promise<void> {
    // What cannot be looked through is said where its pictures are asked for; it has no proposals.
    const job = await jobs.run(`propose ${clip}`, { kind: "propose", clip }).catch(() => null);
    const found: Proposals | null = job?.proposals ?? null;
    if (found === null) return;
    const now = { ...get(), proposals: { ...get().proposals, [clip]: found }, lit: 0 };
    const shot = shotOf(now);
    const goes = shot?.clip === clip && shot.marks.length === 0 && !now.frameChosen;
    store.set(goes ? atFrame(now, found.frame) : now);
  }
}

function wantedOf(state: AppState): { readonly clip: string; readonly key: string } | null {
  const shot = shotOf(state);
  const clip = shot?.clip ?? null;
  if (state.phase !== "ready" || shot === null || clip === null) return null;
  // A former shot's set-up says where its things are: others are looked for once the person leaves that.
  const offered = offeredSetUp(state)?.offer.status;
  if (offered === "looking" || offered === "found") return null;
  const known = state.known[clip];
  const lacks = shot.marks.length === 0 || (shot.scale === null && shot.control === undefined);
  if (known?.status !== "known" || !lacks || standingOf(state, clip) === "other") return null;
  return { clip, key: [clip, known.facts.bytes, known.facts.modifiedMs].join(" ") };
}
