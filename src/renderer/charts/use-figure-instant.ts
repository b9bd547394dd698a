import { useMemo } from "react";
import type { ReadableFigure } from "../../shared/figures/read-figure.ts";
import { useActions, useAppState } from "../actions/app-context.ts";
import { factsOf, resultOf, shotOf } from "../app-state/app-state.ts";
import { frameAtTime, stripTime } from "../strip/strip-plan.ts";

/** The frame in the window as a place on a figure's level axis, and the way back. */
export interface FigureInstant {
  /** ms from release */
  readonly at: number;
  readonly go: (at: number) => void;
}

/** Null for a figure that is not over the time of the shot in the window. */
export function useFigureInstant(figure: ReadableFigure): FigureInstant | null {
  const actions = useActions();
  const shot = useAppState(shotOf);
  const facts = useAppState(factsOf);
  const measurement = useAppState(resultOf)?.measurement ?? null;
  const frame = useAppState((s) => s.frame);
  const overTime = !["chart", "overlay", "points"].includes(figure.kind);
  const time = useMemo(
    () =>
      !overTime || shot === null || facts === null || measurement === null
        ? null
        : stripTime(shot, facts, measurement),
    [overTime, shot, facts, measurement],
  );
  return useMemo(() => {
    if (time === null || facts === null) return null;
    const count = facts.pts.length;
    return {
      at: (time.timeOf(frame) - time.zeroS) * 1000,
      go: (at) => actions.goTo(Math.round(frameAtTime(time, at / 1000 + time.zeroS, count))),
    };
  }, [actions, time, facts, frame]);
}
