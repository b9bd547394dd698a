import type { DamagedFrame } from "../../shared/api/contract.ts";
import { sameJson } from "../../shared/session/patch.ts";
import { type AppState, shotOf } from "../app-state/app-state.ts";
import type { Service } from "../host/service.ts";
import type { Store } from "../store/store.ts";

/**
 * Asks which frames of a clip are known to be damaged or in doubt. What cannot be answered is answered when a
 * frame is asked for next.
 */
export async function lookAtDamage(
  store: Store<AppState>,
  service: Pick<Service, "damage">,
  clip: string,
): Promise<void> {
  const damaged = await service.damage(clip).catch(() => null);
  const before = store.get().damaged[clip] ?? [];
  if (damaged === null || sameJson(damaged, before)) return;
  store.set({ ...store.get(), damaged: { ...store.get().damaged, [clip]: damaged } });
}

const NONE: readonly DamagedFrame[] = [];

/** The damaged and doubtful frames of the open shot's clip, as far as they are known. */
export function damagedOf(state: AppState): readonly DamagedFrame[] {
  return state.damaged[shotOf(state)?.clip ?? ""] ?? NONE;
}

/** What is wrong with the frame in the window; null when nothing is known against it. */
export function damageHere(state: AppState): DamagedFrame | null {
  return damagedOf(state).find(({ frame }) => frame === state.frame) ?? null;
}

/** Marks of the open shot that lie on damaged or doubtful frames. */
export function marksOnDamage(state: AppState): number {
  const frames = new Set(damagedOf(state).map(({ frame }) => frame));
  return frames.size === 0 ? 0 : (shotOf(state)?.marks ?? []).filter((mark) => frames.has(mark.frame)).length;
}
