import { useMemo } from "react";
import { figuresOf } from "../../shared/figures/figures-of.ts";
import type { Airframe, Conditions, Launcher, Shot } from "../../shared/session/schema.ts";
import type { ShotResult } from "../../shared/shot/shot-result.ts";
import { useDesk, useDeskState } from "../state/desk-context.ts";
import { FigureView } from "./FigureView.tsx";
import { freshLauncher } from "./fresh-launcher.ts";
import { LauncherFields } from "./LauncherFields.tsx";
import { MeasuredField } from "./MeasuredField.tsx";
import { NoticeList } from "./NoticeList.tsx";
import { pressureNotices } from "./notices.ts";

export interface ModelSectionProps {
  readonly shot: Shot;
  readonly airframe: Airframe;
  readonly launcher: Launcher | null;
  readonly result: ShotResult | null;
}

/** What the launch model is told, and what it answers. */
export function ModelSection({ shot, airframe, launcher, result }: ModelSectionProps) {
  const desk = useDesk();
  const units = useDeskState((s) => s.history.present.units);
  const figure = useMemo(
    () =>
      result?.prediction == null ? undefined : figuresOf(result, units).find(({ kind }) => kind === "speed"),
    [result, units],
  );
  const { conditions } = shot;
  const setCondition = (part: Partial<Conditions>) =>
    desk.change({
      kind: "update-shot",
      shotId: shot.id,
      patch: { conditions: { ...conditions, ...part } },
    });
  return (
    <>
      {figure === undefined ? null : <FigureView figure={figure} caption />}
      <h3>This shot</h3>
      <MeasuredField
        field={`${shot.id} gauge`}
        label="Tank pressure, gauge"
        kind="pressure"
        rule="any"
        optional
        measured={conditions.gaugePressurePa}
        hint="Above the surrounding air, just before the shot."
        onEntry={(gaugePressurePa) => setCondition({ gaugePressurePa })}
      />
      <NoticeList notices={pressureNotices(result?.notices ?? [])} />
      <MeasuredField
        field={`${shot.id} temperature`}
        label="Air temperature"
        kind="temperature"
        rule="positive"
        measured={conditions.temperatureK}
        onEntry={(temperatureK) => temperatureK && setCondition({ temperatureK })}
      />
      <MeasuredField
        field={`${shot.id} air-pressure`}
        label="Air pressure, absolute"
        kind="air-pressure"
        rule="positive"
        measured={conditions.airPressurePa}
        onEntry={(airPressurePa) => airPressurePa && setCondition({ airPressurePa })}
      />
      <MeasuredField
        field={`${shot.id} headwind`}
        label="Headwind (tailwind below zero)"
        kind="speed"
        rule="any"
        measured={conditions.headwindMPerS}
        onEntry={(headwindMPerS) => headwindMPerS && setCondition({ headwindMPerS })}
      />
      <h3>Airframe</h3>
      <MeasuredField
        field="mass"
        label="All-up mass"
        kind="mass"
        rule="positive"
        optional
        measured={airframe.massKg}
        onEntry={(massKg) => desk.change({ kind: "update-airframe", patch: { massKg } })}
      />
      {launcher === null ? (
        <>
          <h3>Launcher</h3>
          <p className="plain">
            A compressed-air ram starts from guessed values with wide uncertainty, so that the prediction
            shows at once which of them matter. Overwrite each with yours.
          </p>
          <button
            type="button"
            onClick={() => desk.change({ kind: "set-launcher", launcher: freshLauncher() })}
          >
            Describe a compressed-air ram
          </button>
        </>
      ) : (
        <>
          <h3>Launcher</h3>
          <LauncherFields launcher={launcher} />
          <button
            type="button"
            className="quiet"
            onClick={() => desk.change({ kind: "set-launcher", launcher: null })}
          >
            Remove the launcher
          </button>
        </>
      )}
    </>
  );
}
