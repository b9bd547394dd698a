import { useMemo } from "react";
import { figuresOf } from "../../../shared/figures/figures-of.ts";
import type { ShotResult } from "../../../shared/results/shot-result.ts";
import type { ClipFacts } from "../../../shared/session/clip-facts.ts";
import type { Shot } from "../../../shared/session/schema.ts";
import { useAppState } from "../../actions/app-context.ts";
import { FigureView } from "../../charts/FigureView.tsx";
import { MoreResults } from "./MoreResults.tsx";
import { ReleaseFields } from "./ReleaseFields.tsx";

// what is asked for first stands first
const ORDER = ["speed", "acceleration", "position", "pitch", "pitch-rate"] as const;

export interface MotionSectionProps {
  readonly shot: Shot;
  readonly facts: ClipFacts | null;
  readonly result: ShotResult | null;
}

/** The motion over time, and where it is cut into push and free flight. */
export function MotionSection({ shot, facts, result }: MotionSectionProps) {
  const units = useAppState((s) => s.history.present.units);
  const figures = useMemo(() => {
    const all = result === null ? [] : figuresOf(result, units, shot.name);
    return ORDER.flatMap((kind) => all.filter((figure) => figure.kind === kind));
  }, [result, units, shot.name]);
  return (
    <>
      {figures.map((figure, i) => (
        <FigureView key={figure.id} figure={figure} caption={i === 0} />
      ))}
      {result?.measurement == null ? null : <MoreResults measurement={result.measurement} units={units} />}
      <h3>Release</h3>
      <ReleaseFields shot={shot} facts={facts} measurement={result?.measurement ?? null} />
    </>
  );
}
