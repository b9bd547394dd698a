import { useState } from "react";
import type { ClipFacts } from "../../../shared/session/clip-facts.ts";
import type { Camera } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { NO_SKETCH } from "../../app-state/picked-so-far.ts";
import { HAND_U_PX } from "../../picking/picked.ts";
import { NumberField } from "../fields/NumberField.tsx";
import { boardFound } from "./board-words.ts";
import { FoundLens } from "./FoundLens.tsx";
import type { LensFound } from "./lens-words.ts";

export interface BoardFieldsProps {
  readonly facts: ClipFacts | null;
  /** undefined when the shot does not say which camera filmed it */
  readonly camera: Camera | undefined;
}

/** The lens from a flat chequered board, held differently in a few frames, its crossings clicked by hand. */
export function BoardFields({ facts, camera }: BoardFieldsProps) {
  const actions = useActions();
  const board = useAppState((s) => s.sketch.board);
  const picking = useAppState((s) => s.pick?.kind === "crossing");
  const [found, setFound] = useState<{ readonly of: typeof board; readonly lens: LensFound } | null>(null);
  const fresh = found !== null && found.of === board ? found.lens : null;
  const { columns, rows, views } = board;
  const size = (part: Partial<typeof board>) => actions.sketch({ board: { ...board, ...part } });
  return (
    <>
      <p className="plain">
        Film a flat chequered board with this camera at the zoom you launch with, tilted to one side and the
        other, and near each corner of the picture. Click its crossings in four frames or so: first the four
        outer ones, then as many others as you like. Its size does not matter; its fields must be square.
      </p>
      {views.length > 0 ? (
        <p className="plain">
          {columns} by {rows} crossings.
        </p>
      ) : (
        <>
          <NumberField
            label="Crossings across"
            kind="count"
            value={columns}
            hint="Counted where four fields meet: one fewer than there are fields."
            onEntry={(n) => n && size({ columns: whole(n) })}
          />
          <NumberField
            label="Crossings down"
            kind="count"
            value={rows}
            onEntry={(n) => n && size({ rows: whole(n) })}
          />
        </>
      )}
      <p className="plain buttons">
        <button
          type="button"
          aria-pressed={picking}
          onClick={() => actions.choosePick(picking ? null : { kind: "crossing" })}
        >
          {picking ? "Stop picking" : "Pick the board's crossings"}
        </button>
        {views.length === 0 ? null : (
          <button
            type="button"
            disabled={facts === null}
            onClick={() =>
              facts &&
              setFound({ of: board, lens: boardFound(views, [facts.width, facts.height], HAND_U_PX) })
            }
          >
            Find the lens from the board
          </button>
        )}
      </p>
      {views.length === 0 ? null : (
        <ul className="chips" aria-label="Frames with the board">
          {views.map(({ frame, points }) => (
            <li key={frame}>
              <button type="button" className="quiet" onClick={() => actions.goTo(frame)}>
                frame {frame}: {points.length}
              </button>
              <button
                type="button"
                className="quiet"
                aria-label={`Remove the board of frame ${frame}`}
                onClick={() => size({ views: views.filter((one) => one.frame !== frame) })}
              >
                ×
              </button>
            </li>
          ))}
        </ul>
      )}
      <FoundLens
        found={fresh}
        camera={camera}
        onKept={() => actions.sketch({ board: { ...NO_SKETCH.board, columns, rows } })}
      />
    </>
  );
}

/** Two crossings each way at least, or there is no board. */
function whole(n: number): number {
  return Math.min(60, Math.max(2, Math.round(n)));
}
