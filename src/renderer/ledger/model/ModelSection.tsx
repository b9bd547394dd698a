import { useMemo } from "react";
import { figuresOf } from "../../../shared/figures/figures-of.ts";
import { launcherModel } from "../../../shared/launchers/launcher-models.ts";
import type { ShotResult } from "../../../shared/results/shot-result.ts";
import type { Conditions, Launcher, Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { gaugeField } from "../../app-state/asked-fields.ts";
import { FigureView } from "../../charts/FigureView.tsx";
import { MeasuredField } from "../fields/MeasuredField.tsx";
import { NoticeList } from "../parts/NoticeList.tsx";
import { noticesBeside } from "../parts/notices.ts";
import { AirframePart } from "./AirframePart.tsx";
import { AltimeterFields } from "./AltimeterFields.tsx";
import { LauncherPart } from "./LauncherPart.tsx";

export interface ModelSectionProps {
  readonly shot: Shot;
  readonly launcher: Launcher | null;
  readonly result: ShotResult | null;
}

/** What the launch model is told, and what it answers. */
export function ModelSection({ shot, launcher, result }: ModelSectionProps) {
  const actions = useActions();
  const units = useAppState((s) => s.history.present.units);
  const figure = useMemo(
    () =>
      result?.prediction == null
        ? undefined
        : figuresOf(result, units, shot.name).find(({ kind }) => kind === "speed"),
    [result, units, shot.name],
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
          field={gaugeField(shot.id)}
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
      <AirframePart shot={shot} />
      <LauncherPart shot={shot} notices={notices} />
    </>
  );
}
