import { useAppState } from "../actions/app-context.ts";
import type { AppState } from "../app-state/app-state.ts";
import { STRIP_HEIGHT } from "./StripPaper.tsx";
import { type StripRange, xOfFrame } from "./strip-range.ts";

type FollowedSpan = NonNullable<AppState["jobs"][number]["follows"]>[number];

const LOWEST_Y = 56; // css px: above the ticks
const APART_Y = 6;
const MOST_LINES = 6;

/**
 * While points are followed, a line for each over the frames it has come through, and a faint one on to where
 * it is to end. Apart from the paper, which is not drawn again for it.
 */
export function FollowingLines({ range, width }: { readonly range: StripRange; readonly width: number }) {
  const shotId = useAppState((s) => s.shotId);
  const jobs = useAppState((s) => s.jobs);
  const spans = jobs.flatMap(({ follows = [] }) => follows).filter((one) => one.shotId === shotId);
  if (spans.length === 0) return null;
  const points = [...new Set(spans.map(({ pointId }) => pointId))];
  const x = (frame: number) => xOfFrame(range, width, frame).toFixed(1);
  const line = ({ pointId, from }: FollowedSpan, to: number) =>
    `M${x(from)} ${LOWEST_Y - APART_Y * (points.indexOf(pointId) % MOST_LINES)}H${x(to)}`;
  return (
    <svg width={width} height={STRIP_HEIGHT} className="strip-following" aria-hidden="true">
      <path className="ahead" d={spans.map((one) => line(one, one.to)).join("")} />
      <path
        className="come"
        data-testid="followed-so-far"
        d={spans.map((one) => line(one, one.reached)).join("")}
      />
    </svg>
  );
}
