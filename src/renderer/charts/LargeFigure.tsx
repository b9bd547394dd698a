import { useEffect, useMemo, useRef, useState } from "react";
import { placeWords, type ReadableFigure, readFigure } from "../../shared/figures/read-figure.ts";
import { Worded } from "../guide/Worded.tsx";
import { CopyNumber } from "./CopyNumber.tsx";
import { FigurePlot, type Pointed } from "./FigurePlot.tsx";
import { savePng, saveSvg } from "./save-figure.ts";

interface LargeFigureProps {
  readonly figure: ReadableFigure;
  readonly instant: number | null;
  readonly onPlace: ((at: number) => void) | undefined;
  readonly onClose: () => void;
}

/**
 * A figure in the frame's place, as large as that is. It reads at the pointer, or at the frame's instant
 * while there is none: so arrow keys read along the curve.
 */
export function LargeFigure({ figure, instant, onPlace, onClose }: LargeFigureProps) {
  const box = useRef<HTMLDivElement>(null);
  const close = useRef<HTMLButtonElement>(null);
  const [size, setSize] = useState<{ width: number; height: number } | null>(null);
  const [pointed, setPointed] = useState<Pointed | null>(null);
  const [problem, setProblem] = useState(false);
  useEffect(() => {
    close.current?.focus();
    const element = box.current;
    if (element === null) return;
    const observer = new ResizeObserver(() =>
      setSize({ width: element.clientWidth, height: element.clientHeight }),
    );
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  const read = pointed ?? (instant === null ? null : { at: instant, only: null });
  const readings = useMemo(
    () => (read === null ? [] : readFigure(figure, read.at, read.only)),
    [figure, read],
  );
  return (
    <section
      className="large-figure"
      aria-label={figure.title}
      onKeyDown={(event) => {
        if (event.key !== "Escape") return;
        event.stopPropagation();
        onClose();
      }}
    >
      <header>
        <h2>{figure.title}</h2>
        <button type="button" onClick={() => saveSvg(figure)}>
          Save as SVG
        </button>
        <button type="button" onClick={() => void savePng(figure).then((done) => setProblem(!done))}>
          Save as PNG
        </button>
        <button ref={close} type="button" onClick={onClose}>
          Close
        </button>
      </header>
      {problem ? (
        <p className="field-problem" role="alert">
          The picture could not be made. Save it as SVG.
        </p>
      ) : null}
      <div ref={box} className="large-box">
        {size === null ? null : (
          <FigurePlot
            figure={figure}
            width={size.width}
            height={size.height}
            instant={instant}
            pointed={pointed}
            onPoint={setPointed}
            onPlace={onPlace}
          />
        )}
      </div>
      <p className="large-reading" data-testid="large-reading">
        {read === null ? (
          "Point at the figure to read it."
        ) : (
          <>
            {placeWords(figure, read.at)}: {readings.length === 0 ? "no curve reaches there." : null}
            {readings.map(({ label, text }) => (
              <span key={label} className="large-value">
                {label} <CopyNumber text={text} of={label} />
              </span>
            ))}
          </>
        )}
      </p>
      <p className="large-caption">
        <Worded text={figure.caption} />
      </p>
    </section>
  );
}
