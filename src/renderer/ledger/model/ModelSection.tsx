import { useMemo } from "react";
import { figuresOf } from "../../../shared/figures/figures-of.ts";
import { launcherModel } from "../../../shared/launchers/launcher-models.ts";
import type { ShotResult } from "../../../shared/results/shot-result.ts";
import type { Airframe, Conditions, Launcher, Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { FigureView } from "../../charts/FigureView.tsx";
import { MeasuredField } from "../fields/MeasuredField.tsx";
import { NoticeList } from "../parts/NoticeList.tsx";
import { noticesBeside } from "../parts/notices.ts";
import { AltimeterFields } from "./AltimeterFields.tsx";
import { DESCRIBE_LAUNCHER, LauncherFields } from "./LauncherFields.tsx";

export interface ModelSectionProps {
  readonly shot: Shot;
  readonly airframe: Airframe;
  readonly launcher: Launcher | null;
  readonly result: ShotResult | null;
}

/** What the launch model is told, and what it answers. */
export function ModelSection({ shot, airframe, launcher, result }: ModelSectionProps) {
  const actions = useActions();
  const units = useAppState((s) => s.history.present.units);
  const figure = useMemo(
    () =>
      result?.prediction == null ? undefined : figuresOf(result, units).find(({ kind }) => kind === "speed"),
    [result, units],
  );
  const { conditions } = shot;
  const notices = result?.notices ?? [];
  const setCondition = (part: Partial<Conditions>) =>
    actions.change({
      kind: "update-shot",
      shotId: shot.id,
      patch: { conditions: { ...conditions, ...part } },
    });
  return (
    <>
      {figure === undefined ? null : <FigureView figure={figure} caption />}
      <h3>This shot</h3>
      {launcher === null || launcherModel(launcher).hasTank ? (
        <MeasuredField
          field={`${shot.id} gauge`}
          label="Tank pressure, gauge"
          path="shots[].conditions.gaugePressurePa"
          optional
          measured={conditions.gaugePressurePa}
          hint="Above the surrounding air, just before the shot."
          onEntry={(gaugePressurePa) => setCondition({ gaugePressurePa })}
        />
      ) : null}
      <NoticeList notices={noticesBeside("pressure", notices)} />
      {launcher !== null && launcherModel(launcher).hasTank ? (
        <MeasuredField
          field={`${shot.id} tank-temperature`}
          path="shots[].conditions.tankTemperatureK"
          optional
          measured={conditions.tankTemperatureK ?? null}
          hint="Warm when just filled, cold after a shot. Empty for the air's."
          onEntry={(tankTemperatureK) => setCondition({ tankTemperatureK })}
        />
      ) : null}
      <MeasuredField
        field={`${shot.id} temperature`}
        label="Air temperature"
        path="shots[].conditions.temperatureK"
        measured={conditions.temperatureK}
        onEntry={(temperatureK) => temperatureK && setCondition({ temperatureK })}
      />
      <MeasuredField
        field={`${shot.id} air-pressure`}
        label="Air pressure, absolute"
        path="shots[].conditions.airPressurePa"
        measured={conditions.airPressurePa}
        onEntry={(airPressurePa) => airPressurePa && setCondition({ airPressurePa })}
      />
      <MeasuredField
        field={`${shot.id} headwind`}
        label="Headwind (tailwind below zero)"
        path="shots[].conditions.headwindMPerS"
        measured={conditions.headwindMPerS}
        onEntry={(headwindMPerS) => headwindMPerS && setCondition({ headwindMPerS })}
      />
      <AltimeterFields shot={shot} />
      <h3>Airframe</h3>
      <MeasuredField
        field="mass"
        label="All-up mass"
        path="airframe.massKg"
        optional
        measured={airframe.massKg}
        onEntry={(massKg) => actions.change({ kind: "update-airframe", patch: { massKg } })}
      />
      {launcher === null ? (
        <>
          <h3>Launcher</h3>
          <p className="plain">
            A launcher starts from guessed values with wide uncertainty, so that the prediction shows at once
            which of them matter. Overwrite each with yours.
          </p>
          <div className="buttons">
            {DESCRIBE_LAUNCHER.map(({ words, fresh }) => (
              <button
                type="button"
                key={words}
                onClick={() => actions.change({ kind: "set-launcher", launcher: fresh() })}
              >
                {words}
              </button>
            ))}
          </div>
        </>
      ) : (
        <>
          <h3>Launcher</h3>
          <LauncherFields launcher={launcher} notices={notices} />
          <button
            type="button"
            className="quiet"
            onClick={() => actions.change({ kind: "set-launcher", launcher: null })}
          >
            Remove the launcher
          </button>
          <p className="field-hint">To describe another kind instead; Undo brings this one back.</p>
        </>
      )}
    </>
  );
}
