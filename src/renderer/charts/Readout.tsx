import { useMemo } from "react";
import { placeWords, type ReadableFigure, readFigure } from "../../shared/figures/read-figure.ts";
import type { Pointed } from "./FigurePlot.tsx";

/** What the curves say where the pointer is, in one line below a small figure. */
export function Readout({
  figure,
  pointed,
}: {
  readonly figure: ReadableFigure;
  readonly pointed: Pointed | null;
}) {
  const text = useMemo(() => (pointed === null ? "" : readingText(figure, pointed)), [figure, pointed]);
  return (
    <span className="figure-reading" data-testid="figure-reading" title={text}>
      {text}
    </span>
  );
}

/** "12.5 ms from release: measured 13.1 ± 0.1 m/s, predicted 12.5 m/s (no u along the curve)" */
export function readingText(figure: ReadableFigure, { at, only }: Pointed): string {
  const said = readFigure(figure, at, only).map(({ label, text }) => `${label} ${text}`);
  return `${placeWords(figure, at)}${said.length === 0 ? "" : `: ${said.join(", ")}`}`;
}
