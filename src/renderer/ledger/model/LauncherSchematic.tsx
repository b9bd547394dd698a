import type { PartStanding, Schematic, SchematicPart } from "../../../shared/launchers/launcher-schematic.ts";
import { isMoved } from "./input-names.ts";
import { SchematicShape } from "./SchematicShape.tsx";

const STANDING: Readonly<Record<Exclude<PartStanding, "stated">, string>> = {
  guess: "a guess",
  missing: "not stated",
};

/**
 * The launcher from the side. It is pressed with the pointer; by keyboard and to a screen reader its form
 * says and does the same.
 */
export function LauncherSchematic(props: {
  /** The column that it stands in. */
  readonly column: React.Ref<HTMLElement>;
  /** Name of the launcher. */
  readonly of: string;
  readonly schematic: Schematic;
  readonly isLit: (part: SchematicPart) => boolean;
  /** The part that the pointer moved to; null once it has left it. */
  readonly onPoint: (part: SchematicPart | null) => void;
  readonly onPress: (part: SchematicPart) => void;
}) {
  const { column, of, schematic, isLit, onPoint, onPress } = props;
  const { width, height, parts } = schematic;
  const said = parts.find(isLit);
  const has = (standing: PartStanding) => parts.some((part) => part.standing === standing);
  return (
    <figure className="schematic" ref={column}>
      <svg viewBox={`0 0 ${width} ${height}`} role="img" aria-label={sayAll(of, parts)}>
        {parts.map((part) => (
          // biome-ignore lint/a11y/noStaticElementInteractions: the form has the same by keyboard
          <g
            key={part.words}
            className={`schematic-part ${part.standing} ${isLit(part) ? "lit" : ""}`}
            data-part={part.names[0]}
            onPointerMove={(event) => part.names.length > 0 && isMoved(event) && onPoint(part)}
            onPointerLeave={() => onPoint(null)}
            onClick={() => part.names.length > 0 && onPress(part)}
          >
            {part.shapes.map((shape, at) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: a shape has no name but its place
              <SchematicShape key={at} shape={shape} />
            ))}
          </g>
        ))}
      </svg>
      <figcaption>
        <span className="schematic-said">{said === undefined ? "" : sayPart(said)}</span>
        <span className="schematic-legend">
          {has("guess") ? (
            <span>
              <svg className="schematic-key" viewBox="0 0 24 8" aria-hidden="true">
                <path className="schematic-guess-key" d="M0 4H24" />
              </svg>
              a guess, or an assumed ±
            </span>
          ) : null}
          {has("missing") ? <span>? not stated</span> : null}
          <span>not to scale; its direction is true</span>
        </span>
      </figcaption>
    </figure>
  );
}

function sayPart({ words, standing }: SchematicPart): string {
  const capital = words.charAt(0).toUpperCase() + words.slice(1);
  return standing === "stated" ? capital : `${capital}: ${STANDING[standing]}`;
}

/** What the drawing shows, for who does not see it. */
function sayAll(name: string, parts: readonly SchematicPart[]): string {
  const list = (standing: PartStanding) =>
    parts.filter((part) => part.standing === standing).map(({ words }) => words);
  const [guesses, missing] = [list("guess"), list("missing")];
  const said = [
    ...(guesses.length > 0 ? [` Drawn from guesses: ${guesses.join("; ")}.`] : []),
    ...(missing.length > 0 ? [` Not stated: ${missing.join("; ")}.`] : []),
  ];
  return `Schematic of ${name === "" ? "the launcher" : name}, from the side.${said.join("")}`;
}
