import { useState } from "react";
import { showMeasured } from "../../../shared/quantity/display.ts";
import type { Measured } from "../../../shared/quantity/measured.ts";
import type { ClipFacts } from "../../../shared/session/clip-facts.ts";
import type { Clock, Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { rateField } from "../../app-state/asked-fields.ts";
import { Choice } from "../fields/Choice.tsx";
import { MeasuredField } from "../fields/MeasuredField.tsx";
import { More } from "../fields/More.tsx";
import { CameraFields } from "./CameraFields.tsx";
import { ClockChecks } from "./ClockChecks.tsx";
import { DroppedFields } from "./DroppedFields.tsx";
import { FrameFaults } from "./FrameFaults.tsx";
import { LampFields } from "./LampFields.tsx";
import { PartsFields } from "./PartsFields.tsx";
import { ReadoutFields } from "./ReadoutFields.tsx";

const CRYSTAL = { value: 0, u: 1e-4 }; // 100 ppm: what an uncompensated quartz in the field may be off by

export interface ClockSectionProps {
  readonly shot: Shot;
  readonly facts: ClipFacts | null;
  readonly blurPx: number | null;
}

/** How frame numbers become seconds. */
export function ClockSection({ shot, facts, blurPx }: ClockSectionProps) {
  const actions = useActions();
  const [chosen, setChosen] = useState<Clock["kind"]>(shot.clock?.kind ?? "capture-rate");
  const kind = shot.clock?.kind ?? chosen;
  const set = (clock: Clock | null) =>
    actions.change({ kind: "update-shot", shotId: shot.id, patch: { clock } });
  const setRate = (captureRateHz: Measured) =>
    set(
      shot.clock?.kind === "capture-rate"
        ? { ...shot.clock, captureRateHz }
        : { kind: "capture-rate", captureRateHz },
    );
  const camera = useAppState((s) => s.history.present.cameras.find((one) => one.id === shot.cameraId));
  const tagged = facts?.captureRateHz ?? null;
  const rate = shot.clock?.kind === "capture-rate" ? shot.clock.captureRateHz : null;

  function choose(next: Clock["kind"]): void {
    setChosen(next);
    if (next === "timestamps") set({ kind: "timestamps", rateError: CRYSTAL });
    else if (shot.clock !== null) set(null);
  }
  return (
    <>
      <Choice
        label="The file"
        options={[
          ["capture-rate", "is slow motion"],
          ["timestamps", "plays in real time"],
        ]}
        value={kind}
        onChoose={choose}
      />
      {kind === "capture-rate" ? (
        <>
          <MeasuredField
            field={rateField(shot.id)}
            label="Capture rate"
            path="shots[].clock.captureRateHz"
            measured={rate}
            hint="What the camera was set to while filming; a lamp or timer in view can check it."
            onEntry={(captureRateHz) => captureRateHz && setRate(captureRateHz)}
          />
          {tagged !== null && rate?.value !== tagged ? (
            <p className="plain">
              The file says it was filmed at {tagged} frames/s.{" "}
              <button type="button" onClick={() => setRate({ value: tagged, u: tagged * 1e-3 })}>
                Take {tagged} ± {Number((tagged * 1e-3).toPrecision(2))}
              </button>
            </p>
          ) : null}
        </>
      ) : (
        <MeasuredField
          field={`${shot.id} rate-error`}
          label="The file's clock is off by"
          path="shots[].clock.rateError"
          measured={shot.clock?.kind === "timestamps" ? shot.clock.rateError : null}
          onEntry={(rateError) => rateError && set({ ...shot.clock, kind: "timestamps", rateError })}
        />
      )}
      {shot.clock?.kind === "capture-rate" ? (
        <More title="Parts at other rates" says={partsCount(shot.clock.parts)}>
          <PartsFields shot={shot} clock={shot.clock} />
        </More>
      ) : null}
      <ClockChecks shot={shot} facts={facts} />
      <More title="Camera" says={camera === undefined ? undefined : camera.name || camera.id}>
        <CameraFields shot={shot} facts={facts} blurPx={blurPx} />
      </More>
      {camera === undefined || facts === null ? null : (
        <More
          title="Readout from a sweep"
          says={camera.readoutS === undefined ? undefined : readoutText(camera.readoutS)}
        >
          <ReadoutFields key={`${shot.id} ${camera.id}`} shot={shot} facts={facts} camera={camera} />
        </More>
      )}
      {kind === "capture-rate" ? (
        <>
          <More title="Dropped object" says={shot.ball === undefined ? undefined : "drag allowed for"}>
            <DroppedFields shot={shot} />
          </More>
          <More title="Lamp" says={shot.lamp === undefined ? undefined : lampSays(shot.lamp.frames.length)}>
            <LampFields shot={shot} />
          </More>
        </>
      ) : null}
      {facts === null || shot.clock === null ? null : (
        <More title="Repeated and missing frames" says={faultsSay(shot.clock)}>
          <FrameFaults shot={shot} facts={facts} />
        </More>
      )}
    </>
  );
}

function readoutText({ value, u }: Measured): string {
  return `${showMeasured({ value: 1000 * value, u: 1000 * u }, "1").text.trim()} ms in use`;
}

function partsCount(parts: Extract<Clock, { kind: "capture-rate" }>["parts"]): string | undefined {
  return parts === undefined || parts.length === 0 ? undefined : `${parts.length + 1} parts`;
}

function lampSays(changes: number): string {
  return changes === 1 ? "one change" : `${changes} changes`;
}

function faultsSay(clock: Clock): string | undefined {
  const repeats = clock.repeats?.frames.length ?? 0;
  const gaps = clock.kind === "capture-rate" ? (clock.gaps?.length ?? 0) : 0;
  const parts = [repeats > 0 ? `${repeats} repeated` : "", gaps > 0 ? `${gaps} gaps` : ""];
  const text = parts.filter((part) => part !== "").join(", ");
  return text === "" ? undefined : text;
}
