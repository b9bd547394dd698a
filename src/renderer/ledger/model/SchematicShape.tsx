import type { Place, Shape } from "../../../shared/launchers/sketch.ts";

const TICK = 4; // px, half an end of a length
const HEAD = [6, 3] as const; // px, of an arrow

/** One shape of a schematic. */
export function SchematicShape({ shape }: { readonly shape: Shape }) {
  switch (shape.form) {
    case "area":
    case "line":
      return <path className={`shape-${shape.form}`} d={path(shape.points, shape.form === "area")} />;
    case "disc": {
      const [[x, y]] = shape.points;
      return <circle className="shape-area" cx={x} cy={y} r={shape.radius} />;
    }
    case "label": {
      const [[x, y]] = shape.points;
      return (
        <text x={x} y={y} textAnchor="middle" dominantBaseline="central">
          {shape.text}
        </text>
      );
    }
    case "measure": {
      const [from, to] = shape.points;
      const ends = [from, to].map((end) =>
        path([across(shape.points, end, TICK), across(shape.points, end, -TICK)], false),
      );
      return (
        <>
          <path className="shape-reach" d={path(shape.points, false)} />
          <path className="shape-line" d={path(shape.points, false)} />
          <path className="shape-line" d={ends.join("")} strokeDasharray="none" />
        </>
      );
    }
    case "arrow": {
      const [, to] = shape.points;
      const back = along(shape.points, to, -HEAD[0]);
      const head = [to, across(shape.points, back, HEAD[1]), across(shape.points, back, -HEAD[1])];
      return (
        <>
          <path className="shape-reach" d={path(shape.points, false)} />
          <path className="shape-line" d={path(shape.points, false)} />
          <path className="shape-head" d={path(head, true)} />
        </>
      );
    }
  }
}

function path(points: readonly Place[], closed: boolean): string {
  const [first, ...rest] = points.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`);
  return `M${first}${rest.map((place) => `L${place}`).join("")}${closed ? "Z" : ""}`;
}

/** A place moved by px along the direction of a line; across it, to its left. */
function along(line: readonly [Place, Place], [x, y]: Place, px: number): Place {
  const [dx, dy] = directionOf(line);
  return [x + px * dx, y + px * dy];
}

function across(line: readonly [Place, Place], [x, y]: Place, px: number): Place {
  const [dx, dy] = directionOf(line);
  return [x - px * dy, y + px * dx];
}

function directionOf([[x0, y0], [x1, y1]]: readonly [Place, Place]): Place {
  const length = Math.hypot(x1 - x0, y1 - y0) || 1;
  return [(x1 - x0) / length, (y1 - y0) / length];
}
