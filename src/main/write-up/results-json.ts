import { RESULTS_FORMAT, RESULTS_VERSION, type Results } from "../../shared/results/results-schema.ts";
import type { ShotResult } from "../../shared/results/shot-result.ts";
import type { Outing, Session } from "../../shared/session/schema.ts";

/**
 * The content of results.json. A shot that could not be measured is there with no quantities,
 * and its notices say why.
 */
export function resultsOf(session: Session, results: readonly ShotResult[], madeAt: string): Results {
  return {
    format: RESULTS_FORMAT,
    version: RESULTS_VERSION,
    madeAt,
    title: session.title,
    ...((session.outings ?? []).length > 0 && { outings: (session.outings ?? []).map(outingOf) }),
    shots: results.map((result) => {
      const { measurement, prediction, comparison } = result;
      const shot = session.shots.find((one) => one.id === result.shotId);
      return {
        id: result.shotId,
        name: shot?.name ?? result.shotId,
        clip: shot?.clip ?? null,
        quantities: (measurement?.quantities ?? {}) as Results["shots"][number]["quantities"],
        ...(measurement && {
          budget: Object.fromEntries(
            Object.entries(measurement.budget).map(([name, lines]) => [
              name,
              (lines ?? []).map((line) => ({ ...line })),
            ]),
          ),
          releaseClipS: measurement.releaseClipS,
          startClipS: measurement.startClipS,
          ...(measurement.captureRateHz && { captureRateHz: { ...measurement.captureRateHz } }),
          ...(measurement.clockParts && {
            clockParts: measurement.clockParts.map(({ from, captureRateHz }) => ({
              from: { ...from },
              captureRateHz: { ...captureRateHz },
            })),
          }),
          ...(measurement.clockChecks.length > 0 && {
            clockChecks: measurement.clockChecks.map((check) => ({
              ...check,
              captureRateHz: { ...check.captureRateHz },
            })),
          }),
          ...(measurement.flightBend && { flightBend: { ...measurement.flightBend } }),
          ...(measurement.sizeCheck && {
            sizeCheck: {
              pointIds: [...measurement.sizeCheck.pointIds],
              seenM: { ...measurement.sizeCheck.seenM },
              statedM: { ...measurement.sizeCheck.statedM },
            },
          }),
          noiseRatio: measurement.noiseRatio,
          converged: measurement.converged,
          ...(measurement.drawn && { drawn: measurement.drawn as Results["shots"][number]["drawn"] }),
        }),
        ...(prediction && {
          predicted: prediction.quantities as Results["shots"][number]["predicted"],
          ...(prediction.storedEnergyJ && { storedEnergyJ: { ...prediction.storedEnergyJ } }),
        }),
        ...(comparison && {
          differences: comparison.differences.map((one) => ({
            ...one,
            difference: { ...one.difference },
            relative: { ...one.relative },
          })),
          alignment: comparison.alignment,
          verdict: comparison.verdict,
          ...(comparison.reading && {
            reading: {
              ...comparison.reading,
              causes: comparison.reading.causes.map((cause) => ({ ...cause, size: { ...cause.size } })),
            },
          }),
        }),
        notices: result.notices.map((notice) => ({ ...notice })),
      };
    }),
  };
}

/** What of another outing counts here, by the ids that tunings name its shots by. */
function outingOf({ id, path, title, fingerprint, readAt, shots, leftOut }: Outing) {
  return {
    ...{ id, path, title, fingerprint, readAt },
    shots: shots
      .filter((shot) => !leftOut.includes(shot.id))
      .map((shot) => ({
        id: `${id}:${shot.id}`,
        name: shot.name,
        releaseSpeed: shot.quantities.releaseSpeed,
      })),
  };
}
