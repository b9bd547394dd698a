import { useRef } from "react";
import { useAppState } from "../actions/app-context.ts";
import { useWidth } from "../element-size/use-width.ts";
import type { LaidPicture } from "./blend-of.ts";
import { matrixIn } from "./laid-canvas.ts";
import type { Side } from "./side-of.ts";
import type { SeenFrame } from "./use-clip-picture.ts";

interface BesidePictureProps {
  readonly side: Side;
  readonly frame: number;
  /** the time in words */
  readonly when: string;
  readonly canvas: React.RefObject<HTMLCanvasElement | null>;
  readonly seen: SeenFrame;
  readonly onOpen: () => void;
  /** how it lies over the other; left out beside it */
  readonly laid?: LaidPicture;
}

/**
 * One of the two pictures, or what stands in its place where it cannot be shown. A press opens its frame; of
 * one over the other, a press on a button at its name.
 */
export function BesidePicture({ side, frame, when, canvas, seen, onOpen, laid }: BesidePictureProps) {
  const look = useAppState((s) => s.look);
  const { shown, damage } = seen;
  const lost = damage?.shown === false || seen.fault !== null;
  const { width, height } = side.facts;
  const [inWidth, inHeight] = laid?.inPx ?? [width, height];
  const place = useRef<HTMLDivElement>(null);
  const placeWidth = useWidth(place);
  const over = laid?.matrix;
  const press = {
    title: "Show this frame in the frame’s place",
    "aria-label": `${side.name}, frame ${frame}, ${when}: show it in the frame’s place`,
    onClick: onOpen,
  };
  return (
    <figure className="beside-one" style={{ "--shape": inWidth / inHeight } as React.CSSProperties}>
      <div ref={place} className="beside-picture" data-shown={lost ? undefined : (shown ?? undefined)}>
        <canvas
          ref={canvas}
          style={{
            filter: `brightness(${look.brightness}) contrast(${look.contrast})`,
            visibility: lost || shown === null || over === null ? "hidden" : "visible",
            ...(over && {
              width,
              height,
              opacity: laid?.share,
              transform: matrixIn(over, placeWidth / inWidth),
            }),
          }}
        />
        {laid === undefined ? <button type="button" className="beside-press" {...press} /> : null}
        <InItsPlace frame={frame} seen={seen} />
      </div>
      <figcaption>
        <strong>{side.name}</strong> <span>frame {frame}</span> <span className="beside-when">{when}</span>
        {laid === undefined ? null : (
          <button type="button" className="quiet" {...press}>
            Show it
          </button>
        )}
      </figcaption>
    </figure>
  );
}

/** What is said in a picture's place: that it is fetched, in doubt, or cannot be shown, and why. */
function InItsPlace({ frame, seen }: Pick<BesidePictureProps, "frame" | "seen">) {
  const { shown, damage, fault, again } = seen;
  if (damage?.shown === false) {
    return (
      <div className="beside-lost" role="status">
        <p>
          Frame {frame} is damaged in the file and cannot be shown: {damage.why}.
        </p>
      </div>
    );
  }
  if (fault !== null) {
    return (
      <div className="beside-lost" role="status">
        <p>{fault.cause}</p>
        <p>{fault.remedy}</p>
        <button type="button" onClick={again}>
          Fetch frame {frame} again
        </button>
      </div>
    );
  }
  return (
    <div className="beside-says">
      {damage?.shown === true ? (
        <span className="says">
          Frame {frame} may be damaged: {damage.why}.
        </span>
      ) : null}
      {shown === frame ? null : <span className="says late">Frame {frame} is being fetched.</span>}
    </div>
  );
}
