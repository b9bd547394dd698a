import type { Shot } from "./schema.ts";

/**
 * A name for the error of a shot's rate as the document states it: two shots of one camera with the same
 * number share the error itself.
 */
export function clockErrorOf({ id, cameraId, clock }: Pick<Shot, "id" | "cameraId" | "clock">): string {
  const held = clock === null ? null : clock.kind === "timestamps" ? clock.rateError : clock.captureRateHz;
  return `clock of camera ${cameraId ?? `of ${id}`}: ${JSON.stringify(held)}`;
}
