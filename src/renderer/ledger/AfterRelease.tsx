import type { EntryKind } from "../../shared/inputs/entry-unit.ts";
import type { UnitSet } from "../../shared/quantity/display.ts";
import type { Airframe, Conditions, Launcher, Shot } from "../../shared/session/schema.ts";
import { AFTER_RELEASE } from "../../shared/shot/after-release.ts";
import type { ShotResult } from "../../shared/shot/shot-result.ts";
import { useDesk } from "../state/desk-context.ts";
import { afterSays } from "./after-words.ts";
import { MeasuredField } from "./MeasuredField.tsx";
import { More } from "./More.tsx";
import { NoticeList } from "./NoticeList.tsx";
import { noticesBeside } from "./notices.ts";
import { QuantityTable } from "./QuantityTable.tsx";
import { numbersHeld } from "./sentences.ts";

const OF_THE_SHOT: readonly {
  readonly key: "releaseHeightM" | "gustMPerS";
  readonly label: string;
  readonly kind: EntryKind;
}[] = [
  { key: "releaseHeightM", label: "Height of release above the ground", kind: "distance" },
  { key: "gustMPerS", label: "Strongest gust to reckon with", kind: "speed" },
];
const OF_THE_AIRFRAME: readonly {
  readonly key: "dragAreaM2" | "liftSlopePerRad" | "meanChordM";
  readonly label: string;
  readonly kind: EntryKind;
}[] = [
  { key: "dragAreaM2", label: "Drag area (coefficient times area)", kind: "area" },
  { key: "liftSlopePerRad", label: "Lift coefficient per radian", kind: "ratio" },
  { key: "meanChordM", label: "Mean chord", kind: "small-length" },
];

export interface AfterReleaseProps {
  readonly shot: Shot;
  readonly airframe: Airframe;
  readonly launcher: Launcher | null;
  readonly result: ShotResult | null;
  readonly units: UnitSet;
}

/** The first seconds after release: what the wing carries, where nose and airframe are a second on, what the pilot has left. */
export function AfterRelease({ shot, airframe, launcher, result, units }: AfterReleaseProps) {
  const desk = useDesk();
  const { conditions } = shot;
  const notices = <NoticeList notices={noticesBeside("flight", result?.notices ?? [])} />;
  if (launcher?.kind === "rocket-boost") return notices;
  const setCondition = (part: Partial<Conditions>) =>
    desk.change({
      kind: "update-shot",
      shotId: shot.id,
      patch: { conditions: { ...conditions, ...part } },
    });
  const says = afterSays(result, units);
  return (
    <>
      <h3>Flight after release</h3>
      {says.map((sentence) => (
        <p key={sentence} className="plain-says">
          {numbersHeld(sentence)}
        </p>
      ))}
      {result === null ? null : <QuantityTable result={result} units={units} only={AFTER_RELEASE} />}
      {notices}
      <More title="What the flight is reckoned with">
        {OF_THE_SHOT.map(({ key, label, kind }) => (
          <MeasuredField
            key={key}
            field={`${shot.id} ${key}`}
            label={label}
            path={`shots[].conditions.${key}`}
            kind={kind}
            rule="not-negative"
            optional
            measured={conditions[key] ?? null}
            onEntry={(measured) => setCondition({ [key]: measured })}
          />
        ))}
        {OF_THE_AIRFRAME.map(({ key, label, kind }) => (
          <MeasuredField
            key={key}
            field={`after ${key}`}
            label={label}
            path={`airframe.${key}`}
            kind={kind}
            rule="positive"
            optional
            measured={airframe[key] ?? null}
            onEntry={(measured) => desk.change({ kind: "update-airframe", patch: { [key]: measured } })}
          />
        ))}
      </More>
    </>
  );
}
