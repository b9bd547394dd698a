import { useState } from "react";
import type { ClipFacts } from "../../../shared/session/clip-facts.ts";
import type { Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { HAND_U_PX } from "../../picking/picked.ts";
import { More } from "../fields/More.tsx";
import { BoardFields } from "./BoardFields.tsx";
import { FoundLens } from "./FoundLens.tsx";
import { type LensFound, lensFound, madeSays } from "./lens-words.ts";

/** What the lens bends: found from edges known to be straight, and kept with the camera. */
export function LensFields({ shot, facts }: { readonly shot: Shot; readonly facts: ClipFacts | null }) {
  const actions = useActions();
  const camera = useAppState((s) => s.history.present.cameras.find((one) => one.id === shot.cameraId));
  const pick = useAppState((s) => s.pick);
  const lines = useAppState((s) => s.sketch.lines);
  const boards = useAppState((s) => s.sketch.board.views.length);
  const [found, setFound] = useState<{ readonly of: typeof lines; readonly lens: LensFound } | null>(null);
  const drawing = pick?.kind === "straight";
  const drawn = lines.filter((line) => line.length > 0);
  const lens = camera?.lens;
  const fresh = found !== null && found.of === lines ? found.lens : null;
  const keep = (next: typeof lens) =>
    camera && actions.change({ kind: "update-camera", cameraId: camera.id, patch: { lens: next } });

  function draw(): void {
    if (drawing) actions.choosePick(null);
    else actions.choosePick({ kind: "straight" });
  }

  return (
    <>
      <p className="plain">
        {lens === undefined
          ? "A wide lens bends straight edges. Click points along a few that are straight in the world, near the edges of the picture, and the bend is found and taken out."
          : `The lens of ${camera?.name || "this camera"} is taken out: ${madeSays(lens)}.`}
      </p>
      <p className="plain buttons">
        <button type="button" aria-pressed={drawing} onClick={draw}>
          {drawing ? "Stop drawing" : "Find the lens from straight lines"}
        </button>
        {lens === undefined ? null : (
          <button type="button" className="quiet" onClick={() => keep(undefined)}>
            Remove the lens
          </button>
        )}
      </p>
      {drawn.length === 0 ? null : (
        <>
          <ul className="chips" aria-label="Lines drawn">
            {lines.map((line, at) =>
              line.length === 0 ? null : (
                // biome-ignore lint/suspicious/noArrayIndexKey: a line has no name but its number
                <li key={at}>
                  <span className="chip-text">
                    line {at + 1}: {line.length}
                  </span>
                  <button
                    type="button"
                    className="quiet"
                    aria-label={`Remove line ${at + 1}`}
                    onClick={() => actions.sketch({ lines: lines.filter((_, i) => i !== at) })}
                  >
                    ×
                  </button>
                </li>
              ),
            )}
          </ul>
          <p className="plain buttons">
            <button
              type="button"
              disabled={(lines.at(-1)?.length ?? 0) === 0}
              onClick={() => {
                actions.sketch({ lines: [...lines, []] });
                if (!drawing) actions.choosePick({ kind: "straight" });
              }}
            >
              Next line
            </button>
            <button
              type="button"
              disabled={facts === null}
              onClick={() =>
                facts &&
                setFound({ of: lines, lens: lensFound(lines, [facts.width, facts.height], HAND_U_PX) })
              }
            >
              Find the lens
            </button>
          </p>
        </>
      )}
      <FoundLens found={fresh} camera={camera} onKept={() => actions.sketch({ lines: [] })} />
      <More title="From a board instead" says={boards === 0 ? undefined : boardsSay(boards)}>
        <BoardFields facts={facts} camera={camera} />
      </More>
    </>
  );
}

function boardsSay(n: number): string {
  return n === 1 ? "in one frame" : `in ${n} frames`;
}
