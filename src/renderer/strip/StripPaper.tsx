import { memo } from "react";
import type { DamagedFrame } from "../../shared/api/contract.ts";
import type { Proposals } from "../../shared/propose/proposals.ts";
import type { Measurement } from "../../shared/results/shot-result.ts";
import type { Shot } from "../../shared/session/schema.ts";
import { damagedRuns } from "./damaged-runs.ts";
import { frameAtTime, type Misfit, releaseText, type StripTime } from "./strip-plan.ts";
import { niceStep, type StripRange, tickStep, xOfFrame } from "./strip-range.ts";

const DOTS = { top: 20, bottom: 60 } as const; // css px: room for residuals from Z_SHOWN down to 0
const Z_SHOWN = 5; // in u; residuals beyond are drawn at the edge, and misfits are named anyway
const TICKS_Y = 66;
const NUMBERS_Y = 90;
const RELEASE_TEXT_PX = 110; // the longest, with what keeps it off its line
const HALF_DIGIT_PX = 3.3;

export const STRIP_HEIGHT = 98; // css px: washes and dots, ticks, numbers

export interface StripPaperProps {
  readonly shot: Shot;
  /** The marks farthest off, worst first. */
  readonly misfits: readonly Misfit[];
  readonly measurement: Measurement | null;
  readonly time: StripTime;
  readonly range: StripRange;
  readonly width: number;
  readonly count: number;
  /** Frames that cannot be shown. */
  readonly damaged: readonly DamagedFrame[];
  /** Where something moves, as far as the program has looked. */
  readonly found: Pick<Proposals, "moves" | "levels"> | null;
}

/** What is printed on the strip; apart from the cursor, so that a step redraws nothing here. */
export const StripPaper = memo(function StripPaper(props: StripPaperProps) {
  const { shot, misfits, measurement, time, range, width, count } = props;
  const x = (frame: number) => xOfFrame(range, width, frame);
  const release = measurement === null ? null : x(frameAtTime(time, measurement.releaseClipS, count));
  const start = measurement === null ? null : x(frameAtTime(time, measurement.startClipS, count));
  const end = x(Math.min(range.to, count - 1) + 0.5);
  const lastMarked = x((shot.marks.at(-1)?.frame ?? 0) + 0.5);
  // The release is named where there is room: at its right, as time runs, or else before it.
  const isBeside = release === null || release + RELEASE_TEXT_PX < width;
  return (
    <svg width={width} height={STRIP_HEIGHT} className="strip-paper" aria-hidden="true">
      {release !== null && start !== null ? (
        <>
          <rect
            className="wash-push"
            x={start}
            y={2}
            width={Math.max(0, release - start)}
            height={TICKS_Y + 8}
          />
          <rect
            className="wash-flight"
            x={release}
            y={2}
            width={Math.max(0, Math.min(end, lastMarked) - release)}
            height={TICKS_Y + 8}
          />
          <line
            className="zero"
            x1={start}
            x2={Math.min(end, lastMarked)}
            y1={DOTS.bottom}
            y2={DOTS.bottom}
          />
        </>
      ) : null}
      {measurement === null && props.found !== null ? <Moving {...props} found={props.found} /> : null}
      <path className="ticks" d={tickPath(props, x)} />
      <path className="ticks-marked" d={markedPath(props, x)} />
      {damagedRuns(props.damaged, range).map(({ from, to, shown, says }) => (
        <g key={from} className={shown ? "damaged doubtful" : "damaged"}>
          <title>{says}</title>
          <rect x={x(from - 0.5)} y={TICKS_Y - 4} width={x(to + 0.5) - x(from - 0.5)} height={15} />
          {shown ? null : <path d={crosses(from, to, x)} />}
        </g>
      ))}
      <path className="lamp-changes" d={lampPath(props, x)} />
      {measurement === null ? null : <path className="dots" d={dotsPath(measurement, x)} />}
      {release !== null && measurement !== null && start !== null ? (
        <>
          {release - Math.max(start, 0) > (isBeside ? 60 : RELEASE_TEXT_PX + 60) ? (
            <text className="small" x={Math.max(start, 0) + 6} y={14}>
              push
            </text>
          ) : null}
          <line className="start" x1={start} x2={start} y1={2} y2={TICKS_Y + 8} />
          <line className="release" x1={release} x2={release} y1={2} y2={TICKS_Y + 12} />
          <text
            className="strong"
            x={release + (isBeside ? 6 : -6)}
            y={14}
            textAnchor={isBeside ? "start" : "end"}
          >
            {releaseText(measurement)}
          </text>
          {Math.min(end, lastMarked) - release > 230 ? (
            <text className="small" x={Math.min(end, lastMarked) - 6} y={14} textAnchor="end">
              free flight
            </text>
          ) : null}
        </>
      ) : null}
      {numbers(props).map(({ frame, text }) => (
        <text key={text} className="number" x={x(frame)} y={NUMBERS_Y} textAnchor="middle">
          {text}
        </text>
      ))}
      {misfits.map((one) => (
        <g key={`${one.pointId} ${one.frame}`} className="misfit">
          <line x1={x(one.frame)} x2={x(one.frame)} y1={dotY(one.z)} y2={TICKS_Y + 8} />
          <circle cx={x(one.frame)} cy={dotY(one.z)} r={4} />
        </g>
      ))}
    </svg>
  );
});

/** How much moves from frame to frame, until the marks show it better. */
function Moving({
  range,
  width,
  found,
}: StripPaperProps & { readonly found: Pick<Proposals, "moves" | "levels"> }) {
  const x = (frame: number) => xOfFrame(range, width, frame);
  const most = Math.max(1, ...found.levels);
  const y = (level: number) => DOTS.bottom - (level / most) * (DOTS.bottom - DOTS.top);
  const path = found.levels
    .map((level, frame) => `${frame === 0 ? "M" : "L"}${x(frame).toFixed(1)} ${y(level).toFixed(1)}`)
    .join("");
  const first = found.moves?.first ?? null;
  return (
    <g className="moving">
      <path d={path} />
      {first === null ? null : (
        <>
          <line x1={x(first)} x2={x(first)} y1={2} y2={TICKS_Y + 8} />
          <text x={x(first) + 6} y={14}>
            first motion seen
          </text>
        </>
      )}
    </g>
  );
}

function dotY(z: number): number {
  return DOTS.bottom - Math.min(1, Math.abs(z) / Z_SHOWN) * (DOTS.bottom - DOTS.top);
}

function tickPath({ range, width, count }: StripPaperProps, x: (frame: number) => number): string {
  const step = tickStep(range, width, 3);
  const long = tickStep(range, width, 14);
  let path = "";
  const last = Math.min(count - 1, Math.ceil(range.to));
  for (let frame = Math.ceil(range.from / step) * step; frame <= last; frame += step) {
    path += `M${x(frame).toFixed(1)} ${TICKS_Y}v${frame % (long * 5) === 0 ? 9 : 5}`;
  }
  return path;
}

function markedPath({ shot, range }: StripPaperProps, x: (frame: number) => number): string {
  const frames = new Set(shot.marks.map((mark) => mark.frame));
  let path = "";
  for (const frame of frames) {
    if (frame >= range.from - 1 && frame <= range.to + 1) path += `M${x(frame).toFixed(1)} ${TICKS_Y}v5`;
  }
  return path;
}

/** A small cross at every damaged frame that has room for one, so that it is told by its shape too. */
function crosses(from: number, to: number, x: (frame: number) => number): string {
  const step = Math.max(1, Math.ceil(10 / (x(from + 1) - x(from))));
  let path = "";
  for (let frame = from; frame <= to; frame += step) {
    path += `M${(x(frame) - 3).toFixed(1)} ${TICKS_Y}l6 6m-6 0l6 -6`;
  }
  return path;
}

/** Where the lamp changes: longer ticks, so that one left out shows as a gap. */
function lampPath({ shot, range }: StripPaperProps, x: (frame: number) => number): string {
  return (shot.lamp?.frames ?? [])
    .filter((frame) => frame >= range.from - 1 && frame <= range.to + 1)
    .map((frame) => `M${x(frame).toFixed(1)} ${TICKS_Y - 3}v15`)
    .join("");
}

function dotsPath(measurement: Measurement, x: (frame: number) => number): string {
  // A zero-length line with round caps is a dot: one path for hundreds of them.
  return measurement.residuals
    .map(({ frame, z }) => `M${x(frame).toFixed(1)} ${dotY(z).toFixed(1)}h0`)
    .join("");
}

/** Numbers in ms at round times, at least 64 px apart; none that the strip's edge would cut. */
function numbers({ time, range, width, count }: StripPaperProps): { frame: number; text: string }[] {
  const last = Math.min(count - 1, Math.floor(range.to));
  const first = Math.max(0, Math.ceil(range.from));
  const [fromMs, toMs] = [first, last].map((frame) => (time.timeOf(frame) - time.zeroS) * 1000) as [
    number,
    number,
  ];
  if (!(toMs > fromMs)) return [];
  const step = niceStep(((toMs - fromMs) * 64) / width);
  const shown: { frame: number; text: string }[] = [];
  for (let n = Math.ceil(fromMs / step); n * step <= toMs; n++) {
    const ms = n * step;
    const sign = ms > 0 && time.zeroIs === "release" ? "+" : "";
    const text = ms === 0 ? "0" : sign + Number(ms.toPrecision(6)).toString().replace("-", "−");
    const frame = frameAtTime(time, ms / 1000 + time.zeroS, count);
    const middle = xOfFrame(range, width, frame);
    const half = text.length * HALF_DIGIT_PX;
    if (middle >= half && middle <= width - half) shown.push({ frame, text });
  }
  return shown;
}
