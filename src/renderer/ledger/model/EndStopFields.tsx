import type { ShotNotice } from "../../../shared/results/notices/shot-notices.ts";
import type { RamLauncher } from "../../../shared/session/schema.ts";
import { Choice } from "../fields/Choice.tsx";
import { MeasuredField } from "../fields/MeasuredField.tsx";
import { More } from "../fields/More.tsx";
import { NumberField } from "../fields/NumberField.tsx";
import { NoticeList } from "../parts/NoticeList.tsx";

export interface EndStopFieldsProps {
  readonly launcher: RamLauncher;
  /** What is to be read beside these fields. */
  readonly notices: readonly ShotNotice[];
  readonly onLauncher: (part: Pick<RamLauncher, "endStop" | "baseRatedLoadN">) => void;
}

// A guess seen to be one, as the fresh launcher's.
const GUESSED_STOP: NonNullable<RamLauncher["endStop"]> = {
  bufferTravelM: { value: 0.02, u: 0.007 },
  ratedLoadN: null,
};

/** What stops the moving parts after release and what carries the cylinder, with their ratings. */
export function EndStopFields({ launcher, notices, onLauncher }: EndStopFieldsProps) {
  const { endStop, baseRatedLoadN } = launcher;
  return (
    <>
      <More title="End stop and base" says={saysOf(launcher)}>
        <Choice
          label="The travel of the end stop's buffer is"
          options={[
            ["unknown", "not known"],
            ["known", "known"],
          ]}
          value={endStop === undefined ? "unknown" : "known"}
          onChoose={(choice) => onLauncher({ endStop: choice === "known" ? GUESSED_STOP : undefined })}
        />
        {endStop === undefined ? null : (
          <>
            <MeasuredField
              field="launcher bufferTravelM"
              path="launcher.endStop.bufferTravelM"
              measured={endStop.bufferTravelM}
              onEntry={(bufferTravelM) =>
                bufferTravelM && onLauncher({ endStop: { ...endStop, bufferTravelM } })
              }
            />
            <NumberField
              path="launcher.endStop.ratedLoadN"
              optional
              value={endStop.ratedLoadN}
              onEntry={(ratedLoadN) => onLauncher({ endStop: { ...endStop, ratedLoadN } })}
            />
          </>
        )}
        <NumberField
          path="launcher.baseRatedLoadN"
          optional
          value={baseRatedLoadN ?? null}
          hint="Along the push, of what holds the launcher to the ground."
          onEntry={(load) => onLauncher({ baseRatedLoadN: load })}
        />
      </More>
      <NoticeList notices={notices} />
    </>
  );
}

function saysOf({ endStop, baseRatedLoadN }: RamLauncher): string {
  const rated = [
    ...(endStop?.ratedLoadN == null ? [] : [`joint ${endStop.ratedLoadN} N`]),
    ...(baseRatedLoadN == null ? [] : [`base ${baseRatedLoadN} N`]),
  ];
  if (rated.length > 0) return `rated: ${rated.join(", ")}`;
  return endStop === undefined ? "not known" : "no rating stated";
}
