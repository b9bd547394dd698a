import type { ShotNotice } from "../../../shared/results/notices/shot-notices.ts";
import type { RamLauncher } from "../../../shared/session/schema.ts";
import { More } from "../fields/More.tsx";
import { NumberField } from "../fields/NumberField.tsx";
import { NoticeList } from "../parts/NoticeList.tsx";
import { BufferFields } from "./BufferFields.tsx";

export interface EndStopFieldsProps {
  readonly launcher: RamLauncher;
  /** What is to be read beside these fields. */
  readonly notices: readonly ShotNotice[];
  readonly onLauncher: (part: Pick<RamLauncher, "endStop" | "baseRatedLoadN">) => void;
}

/** What stops the moving parts after release and what carries the cylinder, with their ratings. */
export function EndStopFields({ launcher, notices, onLauncher }: EndStopFieldsProps) {
  const { endStop, baseRatedLoadN } = launcher;
  return (
    <>
      <More title="End stop and base" says={saysOf(launcher)}>
        <BufferFields
          asks="The travel of the end stop's buffer is"
          endStop={endStop}
          onEndStop={(stop) => onLauncher({ endStop: stop })}
        />
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
