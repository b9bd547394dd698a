import { modelOf } from "../../../shared/launchers/launcher-models.ts";
import { AFTER_RELEASE } from "../../../shared/predict/after-release.ts";
import type { UnitSet } from "../../../shared/quantity/display.ts";
import type { ShotResult } from "../../../shared/results/shot-result.ts";
import type { Airframe, Conditions, Launcher, Shot } from "../../../shared/session/schema.ts";
import { useActions } from "../../actions/app-context.ts";
import { MeasuredField } from "../fields/MeasuredField.tsx";
import { More } from "../fields/More.tsx";
import { NoticeList } from "../parts/NoticeList.tsx";
import { noticesBeside } from "../parts/notices.ts";
import { QuantityTable } from "../parts/QuantityTable.tsx";
import { numbersHeld } from "../parts/sentences.ts";
import { useChangeAirframe } from "../parts/use-things-in-view.ts";
import { AfterCradle } from "./AfterCradle.tsx";
import { afterSays } from "./after-words.ts";

const OF_THE_SHOT = ["releaseHeightM", "crosswindMPerS", "clearM", "gustMPerS"] as const;
const OF_THE_AIRFRAME = ["dragAreaM2", "liftSlopePerRad", "meanChordM"] as const;
/** Of a launcher that goes on pushing: whether the air keeps its nose ahead. */
const OF_THE_SHOT_UNDER_POWER = ["releaseHeightM", "crosswindMPerS", "clearM"] as const;
const OF_THE_AIRFRAME_UNDER_POWER = ["bodyDiameterM", "pressureBehindM"] as const;
const HINTS: Readonly<Record<string, string>> = {
  crosswindMPerS: "From the right below zero. Empty: 0 ± 2 m/s.",
  clearM: "Counted from the launcher, down range and to the sides.",
  pressureBehindM: "Negative ahead of it. For a slender finned body by the equations of J. Barrowman.",
};

export interface AfterReleaseProps {
  readonly shot: Shot;
  readonly airframe: Airframe;
  readonly launcher: Launcher | null;
  readonly result: ShotResult | null;
  readonly units: UnitSet;
}

/**
 * The first seconds after release: what the wing carries, where nose and airframe are a second on,
 * what the pilot has left.
 */
export function AfterRelease({ shot, airframe, launcher, result, units }: AfterReleaseProps) {
  const actions = useActions();
  const changeAirframe = useChangeAirframe();
  const { conditions } = shot;
  const powered = modelOf(launcher)?.pushesAfterRelease === true;
  const setCondition = (part: Partial<Conditions>) =>
    actions.change({
      kind: "update-shot",
      shotId: shot.id,
      patch: { conditions: { ...conditions, ...part } },
    });
  return (
    <>
      {powered ? <AfterCradle result={result} units={units} /> : <Unpowered result={result} units={units} />}
      <More title="Inputs of the flight">
        {(powered ? OF_THE_SHOT_UNDER_POWER : OF_THE_SHOT).map((key) => (
          <MeasuredField
            key={key}
            field={`${shot.id} ${key}`}
            path={`shots[].conditions.${key}`}
            optional
            measured={conditions[key] ?? null}
            hint={HINTS[key]}
            onEntry={(measured) => setCondition({ [key]: measured })}
          />
        ))}
        {(powered ? OF_THE_AIRFRAME_UNDER_POWER : OF_THE_AIRFRAME).map((key) => (
          <MeasuredField
            key={key}
            field={`after ${key}`}
            path={`airframe.${key}`}
            optional
            measured={airframe[key] ?? null}
            hint={HINTS[key]}
            onEntry={(measured) => changeAirframe({ [key]: measured })}
          />
        ))}
      </More>
    </>
  );
}

function Unpowered({ result, units }: Pick<AfterReleaseProps, "result" | "units">) {
  return (
    <>
      <h3>Flight after release</h3>
      {afterSays(result, units).map((sentence) => (
        <p key={sentence} className="plain-says">
          {numbersHeld(sentence)}
        </p>
      ))}
      {result === null ? null : <QuantityTable result={result} units={units} only={AFTER_RELEASE} />}
      <NoticeList notices={noticesBeside("flight", result?.notices ?? [])} />
    </>
  );
}
