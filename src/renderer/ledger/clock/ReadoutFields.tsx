import { useMemo, useState } from "react";
import { lensOutOf } from "../../../shared/measure/picture-map-of.ts";
import { readoutFromSweeps, type SweepFrame } from "../../../shared/measure/readout-from-sweeps.ts";
import { shotClock } from "../../../shared/measure/shot-clock.ts";
import { DEGREE } from "../../../shared/quantity/angle.ts";
import type { Measured } from "../../../shared/quantity/measured.ts";
import type { ClipFacts } from "../../../shared/session/clip-facts.ts";
import { type FilmedShot, filmedShot } from "../../../shared/session/filmed-shot.ts";
import type { Camera, Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { sessionOf } from "../../app-state/app-state.ts";
import { Worded } from "../../guide/Worded.tsx";
import { HAND_U_PX } from "../../picking/picked.ts";
import { sweepIn } from "../../picking/sketch-picks.ts";
import { MeasuredField } from "../fields/MeasuredField.tsx";
import { numbersHeld } from "../parts/sentences.ts";
import { type ReadoutFound, readoutSays } from "./readout-words.ts";

const BY_EYE: Measured = { value: 0, u: DEGREE }; // a post that looks upright, by a camera that looks level

export interface ReadoutFieldsProps {
  readonly shot: Shot;
  readonly facts: ClipFacts;
  readonly camera: Camera;
}

/**
 * The time the rows take, found from an edge that sweeps across the picture while the camera is turned, and
 * kept with the camera.
 */
export function ReadoutFields({ shot, facts, camera }: ReadoutFieldsProps) {
  const actions = useActions();
  const session = useAppState(sessionOf);
  const sweeps = useAppState((s) => s.sketch.sweeps);
  const frame = useAppState((s) => s.frame);
  const drawing = useAppState((s) => s.pick?.kind === "edge");
  const [leanRad, setLean] = useState(BY_EYE);
  const turned = facts.rotationDeg % 180 !== 0;
  const found = useMemo(
    () => readoutOf(filmedShot(session, shot), facts, sweeps, leanRad),
    [session, shot, facts, sweeps, leanRad],
  );
  const drawn = sweeps.filter((sweep) => sweep.length > 0);
  const here = sweepIn(sweeps.at(-1), frame).length;
  return (
    <>
      <p className="plain">
        Rows that are read one after the other make {turned ? "a level" : "an upright"} edge lean while it
        sweeps across the picture. Film a post or a door frame while you turn the camera fast, one way and
        back. Then click along that edge in two or more frames of each sweep.
      </p>
      <p className="plain buttons">
        <button
          type="button"
          aria-pressed={drawing}
          onClick={() => actions.choosePick(drawing ? null : { kind: "edge" })}
        >
          {drawing ? "Stop clicking" : "Click along the edge"}
        </button>
        {(sweeps.at(-1)?.length ?? 0) === 0 ? null : (
          <button
            type="button"
            onClick={() => {
              actions.sketch({ sweeps: [...sweeps, []] });
              actions.choosePick({ kind: "edge" });
            }}
          >
            Next sweep
          </button>
        )}
      </p>
      {drawing && here > 0 ? (
        <p className="field-hint">
          {here === 1 ? "One point" : `${here} points`} in this frame, of sweep {sweeps.length}.
        </p>
      ) : null}
      {drawn.length === 0 ? null : (
        <>
          <ul className="chips" aria-label="Sweeps">
            {sweeps.map((sweep, at) =>
              sweep.length === 0 ? null : (
                // biome-ignore lint/suspicious/noArrayIndexKey: a sweep has no name but its number
                <li key={at}>
                  <span className="chip-text">
                    sweep {at + 1}: {sweep.length === 1 ? "frame" : "frames"}{" "}
                    {sweep.map((one) => one.frame).join(", ")}
                  </span>
                  <button
                    type="button"
                    className="quiet"
                    aria-label={`Remove sweep ${at + 1}`}
                    onClick={() => actions.sketch({ sweeps: sweeps.filter((_, i) => i !== at) })}
                  >
                    ×
                  </button>
                </li>
              ),
            )}
          </ul>
          <MeasuredField
            field={`${shot.id} edge lean`}
            label={turned ? "At rest the edge tilts by" : "At rest the edge leans by"}
            kind="angle"
            rule="any"
            measured={leanRad}
            hint={
              turned
                ? "Above zero when its right end is higher. Edges that sweep both ways determine it by themselves."
                : "Above zero when its lower end is to the right. Edges that sweep both ways determine it by themselves."
            }
            onEntry={(lean) => lean && setLean(lean)}
          />
        </>
      )}
      {found === null ? null : (
        <p className={found.readoutS === null ? "plain" : "plain-says"} role="status">
          <Worded text={numbersHeld(found.text)} />
        </p>
      )}
      {found?.readoutS == null ? null : (
        <p className="plain">
          <button
            type="button"
            onClick={() => {
              const { value, u } = found.readoutS as Measured;
              const readoutS = { value: digits(value, 6), u: digits(u, 3) };
              actions.change({ kind: "update-camera", cameraId: camera.id, patch: { readoutS } });
              actions.sketch({ sweeps: [] });
              actions.choosePick(null);
            }}
          >
            Keep it with {camera.name || "the camera"}
          </button>
        </p>
      )}
    </>
  );
}

/** Null while nothing is clicked, or the clip has no clock to take a speed from. */
function readoutOf(
  filmed: FilmedShot,
  facts: ClipFacts,
  sweeps: readonly (readonly SweepFrame[])[],
  leanRad: Measured,
): ReadoutFound | null {
  if (sweeps.every((sweep) => sweep.length === 0)) return null;
  const { clock } = shotClock(filmed, facts);
  if (clock === null) return { text: "Set the clock first: the edge's speed comes from it.", readoutS: null };
  const found = readoutFromSweeps({
    sweeps,
    uPx: HAND_U_PX,
    leanRad,
    clock: clock.clock,
    facts,
    lens: lensOutOf(filmed.camera?.lens),
  });
  return readoutSays(found, facts.rotationDeg % 180 !== 0);
}

function digits(x: number, n: number): number {
  return Number(x.toPrecision(n));
}
