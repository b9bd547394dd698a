import { useId } from "react";
import type { ClipFacts } from "../../../shared/session/clip-facts.ts";
import type { Edit } from "../../../shared/session/edits.ts";
import type { Camera, Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { MeasuredField } from "../fields/MeasuredField.tsx";
import { NumberField } from "../fields/NumberField.tsx";
import { TextField } from "../fields/TextField.tsx";
import { AskFirst } from "../parts/AskFirst.tsx";
import { ShelfPart } from "../parts/ShelfPart.tsx";
import { namedBy } from "../parts/WhichOne.tsx";

const NEW = "+";

export interface CameraFieldsProps {
  readonly shot: Shot;
  readonly facts: ClipFacts | null;
  readonly blurPx: number | null;
}

/**
 * Which camera filmed the shot, and what of it the measurement takes: exposure and the time its rows take.
 */
export function CameraFields({ shot, facts, blurPx }: CameraFieldsProps) {
  const actions = useActions();
  const cameras = useAppState((s) => s.history.present.cameras);
  const camera = cameras.find((one) => one.id === shot.cameraId) ?? null;
  const shots = useAppState((s) => s.history.present.shots);
  const others = shots
    .filter((one) => one.cameraId === shot.cameraId && one.id !== shot.id)
    .map(({ name }) => name);
  const id = useId();
  const patch = (part: Partial<Omit<Camera, "id">>) =>
    camera && actions.change({ kind: "update-camera", cameraId: camera.id, patch: part });

  function choose(value: string): void {
    if (value !== NEW) {
      const chosen = cameras.find((one) => one.id === value) ?? null;
      // A camera brings its rate to a shot that has none yet.
      const clock =
        chosen !== null && shot.clock === null
          ? { clock: { kind: "capture-rate" as const, captureRateHz: chosen.captureRateHz } }
          : {};
      actions.change({
        kind: "update-shot",
        shotId: shot.id,
        patch: { cameraId: chosen?.id ?? null, ...clock },
      });
      return;
    }
    const added = newCamera(cameras, shot, facts);
    const edits: readonly Edit[] = [
      { kind: "add-camera", camera: added },
      { kind: "update-shot", shotId: shot.id, patch: { cameraId: added.id } },
    ];
    actions.changeAll(edits);
  }

  return (
    <>
      <div className="field">
        <label className="field-label" htmlFor={id}>
          Filmed by
        </label>
        <select id={id} value={camera?.id ?? ""} onChange={(event) => choose(event.target.value)}>
          <option value="">not said</option>
          {cameras.map((one) => (
            <option key={one.id} value={one.id}>
              {one.name || one.id}
            </option>
          ))}
          <option value={NEW}>another camera…</option>
        </select>
      </div>
      {camera === null ? (
        <p className="field-hint">
          Shots of one camera share its lens, exposure and readout, and the checks of its rate.
        </p>
      ) : (
        <div key={camera.id}>
          <TextField label="Its name" value={camera.name} most={80} onEntry={(name) => patch({ name })} />
          <NumberField
            label="Exposure of a frame: 1 /"
            path="cameras[].exposureS"
            digits={5}
            optional
            value={camera.exposureS === null ? null : 1 / camera.exposureS}
            hint={blurPx === null ? "Shows how far the airframe smears." : undefined}
            onEntry={(perSecond) => patch({ exposureS: perSecond === null ? null : 1 / perSecond })}
          />
          {blurPx === null ? null : (
            <p className="plain">
              At release the airframe smears over {blurPx.toFixed(1)} px while a frame is exposed.
            </p>
          )}
          <MeasuredField
            field={`${camera.id} readout`}
            label="Readout, top row to bottom"
            path="cameras[].readoutS"
            optional
            measured={camera.readoutS ?? null}
            hint="Phones read row by row, often in 3 to 20 ms; below zero when upwards. Empty: all rows at once."
            onEntry={(readoutS) => patch({ readoutS: readoutS ?? undefined })}
          />
          <AskFirst
            words="Remove the camera"
            question={
              others.length === 0
                ? null
                : `${namedBy([shot.name, ...others])} They keep their clocks, and lose its lens, exposure and readout.`
            }
            yes="Remove it"
            no="Keep it"
            onYes={() => actions.change({ kind: "remove-camera", cameraId: camera.id })}
          />
        </div>
      )}
      <ShelfPart of="camera" id={camera?.id ?? null} shotId={shot.id} />
    </>
  );
}

function newCamera(cameras: readonly Camera[], shot: Shot, facts: ClipFacts | null): Camera {
  let n = cameras.length + 1;
  while (cameras.some((one) => one.id === `camera-${n}`)) n++;
  const rate = facts?.captureRateHz ?? facts?.playbackRateHz ?? 240;
  return {
    id: `camera-${n}`,
    name: `camera ${n}`,
    captureRateHz:
      shot.clock?.kind === "capture-rate" ? shot.clock.captureRateHz : { value: rate, u: rate * 1e-3 },
    exposureS: null,
  };
}
