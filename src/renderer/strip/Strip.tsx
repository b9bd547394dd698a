import { memo, useEffect, useMemo, useRef, useState } from "react";
import type { DamagedFrame } from "../../shared/api/contract.ts";
import { useActions, useAppState } from "../actions/app-context.ts";
import { damagedOf, marksOnDamage } from "../actions/known-damage.ts";
import { factsOf, resultOf, shotOf } from "../app-state/app-state.ts";
import { pointsInView } from "../app-state/things-in-view.ts";
import { takesLamp } from "../picking/lamp-changes.ts";
import { foundInView } from "../picking/proposed.ts";
import { damagedSays } from "./damaged-runs.ts";
import { FollowingLines } from "./FollowingLines.tsx";
import { launchInstants } from "./instants.ts";
import { STRIP_HEIGHT, StripPaper } from "./StripPaper.tsx";
import { misfitsOf, signedMs, stripTime } from "./strip-plan.ts";
import { frameAtX, launchRange, pannedRange, type StripRange, xOfFrame, zoomedRange } from "./strip-range.ts";

const KEYS = ["← → step", "Shift ten", "Alt nudge", "1–9 point", "Space play"];

/**
 * The strip: time in ms from release, one tick a frame, residuals, push and free flight; what one scrubs on.
 */
export const Strip = memo(function Strip() {
  const actions = useActions();
  const shot = useAppState(shotOf);
  const facts = useAppState(factsOf);
  const measurement = useAppState(resultOf)?.measurement ?? null;
  const frame = useAppState((s) => s.frame);
  const points = useAppState(pointsInView);
  const lamp = useAppState(takesLamp);
  const damaged = useAppState(damagedOf);
  const found = useAppState(foundInView);
  const onDamage = useAppState(marksOnDamage);
  const box = useRef<HTMLDivElement>(null);
  const [width, setWidth] = useState(0);
  const [range, setRange] = useState<StripRange | null>(null);
  const count = facts?.pts.length ?? 0;
  const shotId = shot?.id ?? null;

  useEffect(() => {
    const element = box.current;
    if (element === null) return;
    const observer = new ResizeObserver(() => setWidth(element.clientWidth));
    observer.observe(element);
    return () => observer.disconnect();
  }, []);

  // biome-ignore lint/correctness/useExhaustiveDependencies: another shot or clip starts from its own launch; new marks do not move the strip
  useEffect(() => {
    setRange(shot === null || facts === null ? null : launchRange(markedFrames(shot), count));
  }, [shotId, facts]);

  // The cursor is never off the strip: it pages along, as reading does.
  useEffect(() => {
    setRange((now) => {
      if (now === null || (frame >= now.from - 0.5 && frame <= now.to + 0.5)) return now;
      const length = now.to - now.from;
      return pannedRange(
        now,
        frame < now.from ? frame - now.to + length * 0.1 : frame - now.from - length * 0.1,
        count,
      );
    });
  }, [frame, count]);

  const time = useMemo(
    () => (shot === null || facts === null ? null : stripTime(shot, facts, measurement)),
    [shot, facts, measurement],
  );

  useEffect(() => {
    const element = box.current;
    if (element === null) return;
    const onWheel = (event: WheelEvent) => {
      event.preventDefault();
      const x = event.clientX - element.getBoundingClientRect().left;
      setRange((now) => {
        if (now === null) return now;
        if (event.shiftKey || Math.abs(event.deltaX) > Math.abs(event.deltaY)) {
          const delta = event.deltaX || event.deltaY;
          return pannedRange(now, (delta / element.clientWidth) * (now.to - now.from), count);
        }
        return zoomedRange(now, 2 ** (-event.deltaY / 300), frameAtX(now, element.clientWidth, x), count);
      });
    };
    element.addEventListener("wheel", onWheel, { passive: false });
    return () => element.removeEventListener("wheel", onWheel);
  }, [count]);

  const misfits = useMemo(
    () => (time === null || measurement === null ? [] : misfitsOf(measurement, points, time)),
    [time, measurement, points],
  );
  const [worst] = misfits;
  const instants = useMemo(
    () => (time === null ? [] : launchInstants(measurement, time, count)),
    [measurement, time, count],
  );
  const ready = shot !== null && time !== null && range !== null && width > 0 && count > 0;
  const scrub = (event: React.PointerEvent) => {
    if (!ready || event.buttons !== 1) return;
    actions.goTo(frameAtX(range, width, event.clientX - event.currentTarget.getBoundingClientRect().left));
  };
  const cursor = ready ? xOfFrame(range, width, frame) : 0;
  const now = time === null || count === 0 ? "" : `${signedMs(time.timeOf(frame) - time.zeroS)} ms`;
  const markCount = shot?.marks.filter((mark) => mark.frame === frame).length ?? 0;
  return (
    <section className="strip" aria-label="Strip">
      <div
        ref={box}
        className="strip-box"
        style={{ height: STRIP_HEIGHT }}
        role="slider"
        tabIndex={0}
        aria-label="Frame on the strip"
        aria-valuemin={0}
        aria-valuemax={Math.max(0, count - 1)}
        aria-valuenow={frame}
        aria-valuetext={`frame ${frame}${damageAt(damaged, frame)}, ${now} from ${time?.zeroIs ?? "first frame"}, ${markCount} marks`}
        onPointerDown={(event) => {
          event.currentTarget.setPointerCapture(event.pointerId);
          scrub(event);
        }}
        onPointerMove={scrub}
        onDoubleClick={() => setRange({ from: 0, to: Math.max(1, count - 1) })}
      >
        {ready ? (
          <>
            <StripPaper
              shot={shot}
              misfits={misfits}
              measurement={measurement}
              time={time}
              range={range}
              width={width}
              count={count}
              damaged={damaged}
              found={found}
            />
            <FollowingLines range={range} width={width} />
            <div className="strip-cursor" style={{ left: cursor }} />
            <div
              className="strip-now"
              style={{ left: Math.min(Math.max(cursor, 38), width - 38) }}
              data-testid="strip-now"
            >
              {now}
            </div>
          </>
        ) : null}
      </div>
      <div className="strip-foot">
        <span>
          {time === null
            ? "The time axis appears here once a clip is open."
            : `ms from ${time.zeroIs}${time.clockSet ? "" : ", by the file's own clock until the capture rate is set"}`}
        </span>
        {damaged.length > 0 ? (
          <span className="strip-damaged" title={damagedSays(damaged, onDamage)}>
            {damagedSays(damaged, onDamage)}
          </span>
        ) : null}
        {worst === undefined ? (
          <span className="strip-keys">
            {[...KEYS, ...(lamp ? ["L lamp changes"] : [])].map((key) => (
              <span key={key}>{key}</span>
            ))}
          </span>
        ) : (
          <button
            type="button"
            className="quiet strip-misfit"
            title={worst.text}
            onClick={() => actions.goTo(worst.frame)}
          >
            {worst.text}
          </button>
        )}
        <span className="strip-ranges">
          {instants.map(({ name, frame: to }) => (
            <button
              type="button"
              className="quiet"
              key={name}
              title={`Go to ${name}: frame ${to}`}
              onClick={() => actions.goTo(to)}
            >
              {name}
            </button>
          ))}
          <button
            type="button"
            className="quiet"
            disabled={!ready}
            onClick={() => shot !== null && setRange(launchRange(markedFrames(shot), count))}
          >
            launch
          </button>
          <button
            type="button"
            className="quiet"
            disabled={!ready}
            onClick={() => setRange({ from: 0, to: Math.max(1, count - 1) })}
          >
            whole clip
          </button>
        </span>
      </div>
    </section>
  );
});

function markedFrames(shot: { readonly marks: readonly { readonly frame: number }[] }): readonly number[] {
  return shot.marks.map((mark) => mark.frame);
}

function damageAt(damaged: readonly DamagedFrame[], frame: number): string {
  const known = damaged.find((one) => one.frame === frame);
  return known === undefined ? "" : known.shown ? ", in doubt" : ", damaged";
}
