import { line, type Place, type Shape, type Sketch, type SketchPart } from "./sketch.ts";

const HEIGHT = 150; // px, of the launcher
const GREATEST = 1.2; // a small launcher is not blown up
const EDGE = 4; // px, free on all sides
const GAP = 10; // px, between the launcher and what stands beside it
const ARC_STEPS = 12;
const LETTER = 5.7; // px, of a letter on the average
const LETTERS = 12; // px, height of a label with its room

/** A sketch on the page: px, x to the right and y down. */
export interface LaidOut {
  readonly width: number;
  readonly height: number;
  readonly parts: readonly SketchPart[];
}

/**
 * Turns a sketch into its direction and fits it, with its labels upright, so that nothing reaches outside.
 * The inset stands at its right where there is room, else below it.
 * @param width px, of the room there is: the drawing takes all of it
 */
export function layOut(sketch: Sketch, width: number): LaidOut {
  const turned = turnedParts(sketch);
  let scale = Math.min(
    GREATEST,
    ...fitOf(
      turned.flatMap(({ shapes }) => shapes).flatMap(({ points }) => points),
      width,
    ),
  );
  let main = scaled(turned, scale);
  for (let i = 0; i < 30; i++) {
    const taken = extentOf(main);
    if (taken.width <= width - 2 * EDGE && taken.height <= HEIGHT) break;
    scale *= 0.97;
    main = scaled(turned, scale);
  }
  const extent = extentOf(main);
  const placed = moved(main, EDGE - extent.left, EDGE - extent.top);
  const bottom = extent.height + 2 * EDGE;
  const { inset } = sketch;
  if (inset === undefined) return { width, height: bottom, parts: placed };
  const beside = width - extent.width - 2 * EDGE >= inset.width + GAP;
  const height = beside ? Math.max(bottom, inset.height + 2 * EDGE) : bottom + inset.height + EDGE;
  const upright = moved(scaled(inset.parts, 1), width - EDGE - inset.width, height - EDGE);
  return { width, height, parts: [...placed, ...upright] };
}

/** All parts that turn with the launcher and its direction, the places turned; y still up. */
function turnedParts({ parts, direction }: Sketch): readonly SketchPart[] {
  const { words, name, angleRad, pivot, arrow } = direction;
  const [cos, sin] = [Math.cos(angleRad), Math.sin(angleRad)];
  const turn = ([x, y]: Place): Place => [x * cos - y * sin, x * sin + y * cos];
  const [px, py] = turn(pivot);
  const ray = (at: number, length: number): Place => [px + length * Math.cos(at), py + length * Math.sin(at)];
  const arc = Array.from({ length: ARC_STEPS + 1 }, (_, i) => ray((angleRad * i) / ARC_STEPS, 60));
  return [
    ...parts.map((part) => ({ ...part, shapes: part.shapes.map((shape) => placedBy(shape, turn, turn)) })),
    {
      words,
      names: [name],
      from: [name],
      shapes: [
        line([px, py], ray(0, 74)),
        line(...arc),
        { form: "arrow", points: [turn(arrow[0]), turn(arrow[1])] },
      ],
    },
  ];
}

/** On the page at a scale, labels beside what they name; y down. */
function scaled(parts: readonly SketchPart[], scale: number): readonly SketchPart[] {
  const onPage = ([x, y]: Place): Place => [scale * x, -scale * y];
  const shapesOf = ({ shapes, missing }: SketchPart) =>
    missing && !shapes.some((shape) => shape.form === "label" && shape.text === "?")
      ? [...shapes, { form: "label", points: [middleOf(shapes)], text: "?", out: [0, 0] } as const]
      : shapes;
  return parts.map((part) => ({
    ...part,
    shapes: shapesOf(part).map((shape) => {
      const placed = placedBy(shape, onPage, ([x, y]) => [x, -y]);
      if (placed.form === "disc") return { ...placed, radius: scale * placed.radius };
      return placed.form === "label" ? besideIt(placed) : placed;
    }),
  }));
}

/** A label moved out of what it stands at, by its own half size in that direction. */
function besideIt(shape: Extract<Shape, { form: "label" }>): Shape {
  const [ox, oy] = shape.out;
  const far =
    ox === 0 && oy === 0 ? 0 : 1 + (Math.abs(ox) * widthOf(shape.text)) / 2 + (Math.abs(oy) * LETTERS) / 2;
  const [[x, y]] = shape.points;
  return { ...shape, points: [[x + far * ox, y + far * oy]], out: [0, 0] };
}

function moved(parts: readonly SketchPart[], dx: number, dy: number): readonly SketchPart[] {
  const move = ([x, y]: Place): Place => [x + dx, y + dy];
  const same = (out: Place) => out;
  return parts.map((part) => ({ ...part, shapes: part.shapes.map((shape) => placedBy(shape, move, same)) }));
}

/** A shape with its places and the direction that its label stands out to changed. */
function placedBy(shape: Shape, place: (at: Place) => Place, out: (to: Place) => Place): Shape {
  const points = shape.points.map(place);
  const placed = { ...shape, points } as Shape;
  return placed.form === "label" ? { ...placed, out: out(placed.out) } : placed;
}

/** The scales at which places fill the room across and down. */
function fitOf(places: readonly Place[], width: number): readonly number[] {
  const across = spanOf(places.map(([x]) => x));
  const down = spanOf(places.map(([, y]) => y));
  return [(width - 2 * EDGE) / Math.max(across, 1), HEIGHT / Math.max(down, 1)];
}

function spanOf(numbers: readonly number[]): number {
  return Math.max(...numbers) - Math.min(...numbers);
}

/** What all of it takes up on the page, labels and discs with their size. */
function extentOf(parts: readonly SketchPart[]) {
  const corners = parts.flatMap(({ shapes }) => shapes.flatMap(cornersOf));
  const [xs, ys] = [corners.map(([x]) => x), corners.map(([, y]) => y)];
  const [left, top] = [Math.min(...xs), Math.min(...ys)];
  return { left, top, width: Math.max(...xs) - left, height: Math.max(...ys) - top };
}

/** Places that a shape on the page does not reach beyond. */
export function cornersOf(shape: Shape): readonly Place[] {
  const half: Place =
    shape.form === "label"
      ? [widthOf(shape.text) / 2, LETTERS / 2]
      : shape.form === "disc"
        ? [shape.radius, shape.radius]
        : shape.form === "measure" || shape.form === "arrow"
          ? [4, 4]
          : [1, 1];
  return shape.points.flatMap(([x, y]): readonly Place[] => [
    [x - half[0], y - half[1]],
    [x + half[0], y + half[1]],
  ]);
}

function widthOf(text: string): number {
  return LETTER * text.length;
}

function middleOf(shapes: readonly Shape[]): Place {
  const places = shapes
    .filter(({ form }) => form !== "label")
    .flatMap(({ points }) => points as readonly Place[]);
  const middle = (numbers: readonly number[]) => (Math.max(...numbers) + Math.min(...numbers)) / 2;
  return [middle(places.map(([x]) => x)), middle(places.map(([, y]) => y))];
}
