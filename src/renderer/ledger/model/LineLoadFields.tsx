import { ELASTIC_LENGTH } from "../../../shared/inputs/elastic-inputs.ts";
import { showExact, type UnitSet } from "../../../shared/quantity/display.ts";
import type { ShotNotice } from "../../../shared/results/notices/shot-notices.ts";
import type { ElasticLauncher } from "../../../shared/session/schema.ts";
import { useAppState } from "../../actions/app-context.ts";
import { linesOf, MeasuredLines } from "../fields/MeasuredLines.tsx";
import { More } from "../fields/More.tsx";
import { NumberField } from "../fields/NumberField.tsx";
import { NoticeList } from "../parts/NoticeList.tsx";
import { BufferFields } from "./BufferFields.tsx";

const LENGTH = linesOf(ELASTIC_LENGTH);

/** How far the line may be drawn, and what its anchor and the carriage's stop take. */
export function LineLoadFields(props: {
  readonly launcher: ElasticLauncher;
  /** What is to be read beside these fields. */
  readonly notices: readonly ShotNotice[];
  readonly onLauncher: (part: Partial<ElasticLauncher>) => void;
}) {
  const { launcher, notices, onLauncher } = props;
  const units = useAppState((s) => s.history.present.units);
  return (
    <>
      <More title="Stretch, anchor and stop" says={saysOf(launcher, units)}>
        <MeasuredLines lines={LENGTH} of={launcher} onEntry={onLauncher} />
        <NumberField
          path="launcher.stretchLimit"
          optional
          value={launcher.stretchLimit ?? null}
          hint="The draw over the free length: 3 is drawn to four times the length at rest."
          onEntry={(stretchLimit) => onLauncher({ stretchLimit })}
        />
        <NumberField
          path="launcher.anchorRatedLoadN"
          optional
          value={launcher.anchorRatedLoadN ?? null}
          hint="Of what holds all lines together; of two anchors, twice the weaker one's."
          onEntry={(anchorRatedLoadN) => onLauncher({ anchorRatedLoadN })}
        />
        <BufferFields
          asks="The travel of the carriage's buffer is"
          endStop={launcher.endStop}
          onEndStop={(endStop) => onLauncher({ endStop })}
        />
      </More>
      <NoticeList notices={notices} />
    </>
  );
}

function saysOf({ stretchLimit, anchorRatedLoadN, endStop }: ElasticLauncher, units: UnitSet): string {
  const load = (what: string, newtons: number | null | undefined) =>
    newtons == null ? [] : [`${what} ${showExact(newtons, "N", units)}`];
  const stated = [
    ...(stretchLimit == null ? [] : [`stretch ${showExact(stretchLimit, "1", units)}`]),
    ...load("anchor", anchorRatedLoadN),
    ...load("joint", endStop?.ratedLoadN),
  ];
  return stated.length === 0 ? "no limit stated" : `at most: ${stated.join(", ")}`;
}
