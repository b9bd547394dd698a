import { memo, useEffect, useRef, useState } from "react";
import { createPortal } from "react-dom";
import type { ReadableFigure } from "../../shared/figures/read-figure.ts";
import { useActions, useAppState } from "../actions/app-context.ts";
import { PartBoundary } from "../boundary/PartBoundary.tsx";
import { Worded } from "../guide/Worded.tsx";
import { FigurePlot, type Pointed } from "./FigurePlot.tsx";
import { LargeFigure } from "./LargeFigure.tsx";
import { Readout } from "./Readout.tsx";
import { type FigureInstant, useFigureInstant } from "./use-figure-instant.ts";

/** Where an enlarged figure stands: over the frame's place. */
export const LARGE_PLACE = "large-place";

export interface FigureViewProps {
  readonly figure: ReadableFigure;
  /** What the marks mean stands below; once is enough where figures follow each other. */
  readonly caption: boolean;
  /** px; by the width when left out */
  readonly height?: number;
  /** What a click on a place of the level axis does; for a figure over a shot's time it shows that frame. */
  readonly onPlace?: (at: number) => void;
}

/**
 * One figure, drawn at the width it has there: the pointer reads it, a click goes to the frame, and it opens
 * over the frame's place.
 */
export const FigureView = memo(function FigureView(props: FigureViewProps) {
  return (
    <PartBoundary name={props.figure.title} drawnFrom={props.figure}>
      <ReadFigure {...props} />
    </PartBoundary>
  );
});

function ReadFigure({ figure, caption, height, onPlace }: FigureViewProps) {
  const actions = useActions();
  const box = useRef<HTMLElement>(null);
  const opener = useRef<HTMLButtonElement>(null);
  const [width, setWidth] = useState(0);
  const [pointed, setPointed] = useState<Pointed | null>(null);
  const large = useAppState((s) => s.large === figure.id);
  const instant = useFigureInstant(figure);
  const place = large ? document.getElementById(LARGE_PLACE) : null;
  useEffect(() => {
    const element = box.current;
    if (element === null) return;
    const observer = new ResizeObserver(() => setWidth(element.clientWidth));
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  const high = figure.kind === "chart" || ("residual" in figure && figure.residual !== null);
  const drawnHeight = height ?? Math.max(180, Math.round(width * (high ? 0.78 : 0.55)));
  const go = goingTo(instant, onPlace);
  return (
    <figure ref={box} className="figure">
      {width === 0 ? null : (
        <FigurePlot
          figure={figure}
          width={width}
          height={drawnHeight}
          instant={instant?.at ?? null}
          pointed={pointed}
          onPoint={setPointed}
          onPlace={go}
        />
      )}
      <div className="figure-foot">
        <Readout figure={figure} pointed={pointed} />
        <button
          ref={opener}
          type="button"
          className="quiet"
          aria-label={`Larger: ${figure.title}`}
          aria-expanded={large}
          onClick={() => actions.showLarge(large ? null : figure.id)}
        >
          Larger
        </button>
      </div>
      {caption ? (
        <figcaption>
          <Worded text={figure.caption} />
        </figcaption>
      ) : null}
      {place === null
        ? null
        : createPortal(
            <PartBoundary name={`${figure.title}, enlarged,`} drawnFrom={figure}>
              <LargeFigure
                figure={figure}
                instant={instant?.at ?? null}
                onPlace={go}
                onClose={() => {
                  actions.showLarge(null);
                  opener.current?.focus();
                }}
              />
            </PartBoundary>,
            place,
          )}
    </figure>
  );
}

function goingTo(instant: FigureInstant | null, onPlace: FigureViewProps["onPlace"]) {
  return onPlace ?? instant?.go;
}
