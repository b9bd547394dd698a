import { memo, useMemo } from "react";
import { figureSvg, LEAST_FIGURE } from "../../shared/figures/figure-svg.ts";
import { type Plot, valueAtPx } from "../../shared/figures/plot.ts";
import { plotsOf, type ReadableFigure } from "../../shared/figures/read-figure.ts";
import { useTools } from "../actions/app-context.ts";
import { useStore } from "../store/store.ts";

const FONT = "Inter, sans-serif";

/** A place on the level axis that the pointer is at, in one of the figure's panels. */
export interface Pointed {
  readonly at: number;
  /** the one curve that the panel is of; null where it shows all */
  readonly only: string | null;
}

interface FigurePlotProps {
  readonly figure: ReadableFigure;
  readonly width: number;
  readonly height: number;
  /** Where the frame in the window stands on the level axis; null where that means nothing. */
  readonly instant: number | null;
  readonly pointed: Pointed | null;
  readonly onPoint: (pointed: Pointed | null) => void;
  readonly onPlace: ((at: number) => void) | undefined;
}

/**
 * A figure drawn at a size, with thin lines at the frame's instant and under the pointer; it says so where
 * there is no room for it.
 */
export function FigurePlot(props: FigurePlotProps) {
  const fits = props.width >= LEAST_FIGURE.width && props.height >= LEAST_FIGURE.height;
  if (fits) return <RoomyPlot {...props} />;
  return <p className="field-hint">{props.figure.title}: there is no room to draw it here.</p>;
}

function RoomyPlot(props: FigurePlotProps) {
  const { figure, width, height, instant, pointed, onPoint, onPlace } = props;
  const plots = useMemo(() => plotsOf(figure, width, height), [figure, width, height]);
  function placeOf(event: React.PointerEvent | React.MouseEvent): Pointed | null {
    const box = event.currentTarget.getBoundingClientRect();
    const [x, y] = [event.clientX - box.left, event.clientY - box.top];
    const plot = plots.find(
      ({ left, right, top, bottom }) => x >= left - 4 && x <= right + 4 && y >= top - 12 && y <= bottom + 12,
    );
    return plot === undefined ? null : { at: valueAtPx(plot, x), only: plot.only };
  }
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: the keyboard steps frames, which moves the instant read here
    // biome-ignore lint/a11y/useKeyWithClickEvents: as above
    <div
      className={`figure-plot ${onPlace === undefined ? "" : "leads"}`}
      style={{ height }}
      onPointerMove={(event) => onPoint(placeOf(event))}
      onPointerLeave={() => onPoint(null)}
      onClick={(event) => {
        const place = placeOf(event);
        if (place !== null) onPlace?.(place.at);
      }}
    >
      <Drawn figure={figure} width={width} height={height} />
      {plots.map((plot) => (
        <PlotLines key={`${plot.left} ${plot.top}`} plot={plot} instant={instant} pointed={pointed} />
      ))}
    </div>
  );
}

/** The figure itself: drawn again only when it or its size changes, not as the pointer moves. */
const Drawn = memo(function Drawn({
  figure,
  width,
  height,
}: Pick<FigurePlotProps, "figure" | "width" | "height">) {
  const { theme } = useStore(useTools().theme.store, (s) => s);
  const svg = useMemo(
    () => figureSvg(figure, { theme, width, height, fontFamily: FONT }),
    [figure, theme, width, height],
  );
  // biome-ignore lint/security/noDangerouslySetInnerHtml: our own figure, its texts escaped where it is made
  return <div dangerouslySetInnerHTML={{ __html: svg }} />;
});

function PlotLines(props: {
  readonly plot: Plot;
  readonly instant: number | null;
  readonly pointed: Pointed | null;
}) {
  const { plot, instant, pointed } = props;
  const { x, top, bottom, only } = plot;
  const upright = { top, height: bottom - top };
  const shown = instant !== null && instant >= x.low && instant <= x.high;
  const under = pointed !== null && (only === null || only === pointed.only);
  return (
    <>
      {shown ? (
        <div
          className="figure-instant"
          data-testid="figure-instant"
          style={{ left: x.px(instant), ...upright }}
        />
      ) : null}
      {under ? <div className="figure-pointed" style={{ left: x.px(pointed.at), ...upright }} /> : null}
    </>
  );
}
