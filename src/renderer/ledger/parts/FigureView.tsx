import { memo, useEffect, useMemo, useRef, useState } from "react";
import type { Chart } from "../../../shared/figures/chart.ts";
import type { Figure } from "../../../shared/figures/figure.ts";
import { figureSvg } from "../../../shared/figures/figure-svg.ts";
import { useTools } from "../../actions/app-context.ts";
import { useStore } from "../../store/store.ts";

const FONT = "Inter, sans-serif";

export interface FigureViewProps {
  readonly figure: Figure | Chart;
  /** What the marks mean stands below; once is enough where figures follow each other. */
  readonly caption: boolean;
}

/** One figure in the ledger, drawn at the width it has there. */
export const FigureView = memo(function FigureView({ figure, caption }: FigureViewProps) {
  const { theme } = useStore(useTools().theme.store, (s) => s);
  const box = useRef<HTMLElement>(null);
  const [width, setWidth] = useState(0);
  useEffect(() => {
    const element = box.current;
    if (element === null) return;
    const observer = new ResizeObserver(() => setWidth(element.clientWidth));
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  const svg = useMemo(() => {
    if (width < 240) return "";
    const high = figure.kind === "chart" || figure.residual !== null;
    const height = Math.max(180, Math.round(width * (high ? 0.78 : 0.55)));
    return figureSvg(figure, { theme, width, height, fontFamily: FONT });
  }, [figure, theme, width]);
  return (
    <figure ref={box} className="figure">
      {/* biome-ignore lint/security/noDangerouslySetInnerHtml: our own figure, its texts escaped where it is made */}
      <div dangerouslySetInnerHTML={{ __html: svg }} />
      {caption ? <figcaption>{figure.caption}</figcaption> : null}
    </figure>
  );
});
