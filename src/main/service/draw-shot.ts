import type { ShotResult } from "../../shared/results/shot-result.ts";
import type { Session } from "../../shared/session/schema.ts";
import type { MediaOptions } from "../media/media.ts";
import type { JobParts } from "./job-parts.ts";
import { inspectClips } from "./measure-shots.ts";

const PATIENCE_MS = 120_000; // between two signs of life, which come every few draws

/**
 * Measures one shot with all its inputs drawn, on a thread. @throws FaultError when its clip cannot be read
 */
export async function drawShot(
  { folder, factsOf, workers }: Pick<JobParts, "folder" | "factsOf" | "workers">,
  session: Session,
  shotId: string,
  draws: number,
  { signal, onProgress }: Required<MediaOptions>,
): Promise<ShotResult> {
  const shots = session.shots.filter(({ id }) => id === shotId);
  const { facts } = await inspectClips({ ...session, shots }, folder, factsOf, { signal });
  const doing = `Drawing the inputs of ${shots[0]?.name ?? shotId}`;
  const task = {
    kind: "measure",
    shotId,
    facts: facts.get(shots[0]?.clip ?? "") ?? null,
    draws,
  } as const;
  return workers.run(session, task, {
    signal,
    patienceMs: PATIENCE_MS,
    onFraction: (fraction) => onProgress({ fraction, doing }),
  });
}
