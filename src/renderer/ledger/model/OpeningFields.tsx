import type { RamLauncher } from "../../../shared/session/schema.ts";
import { More } from "../fields/More.tsx";
import { OPENING_TABLE } from "./opening-table.ts";
import { PointTableField } from "./PointTableField.tsx";

/** How the first valve's area grows over its opening time, where it is known. */
export function OpeningFields(props: {
  readonly launcher: Pick<RamLauncher, "openingCurve">;
  readonly onLauncher: (part: Pick<RamLauncher, "openingCurve">) => void;
}) {
  const { launcher, onLauncher } = props;
  const { openingCurve } = launcher;
  return (
    <More
      title="How it opens"
      says={openingCurve === undefined ? "evenly" : `by ${openingCurve.length} points`}
    >
      <PointTableField
        field="launcher openingCurve"
        part="launcher.openingCurve"
        label="Share of the opening time, share of the full area"
        hint="One point a line, both from 0 to 1, the last 1 1; straight lines between. Empty for even opening."
        table={OPENING_TABLE}
        points={openingCurve ?? null}
        optional
        onEntry={(points) => onLauncher({ openingCurve: points?.map(([t, a]) => [t, a]) })}
      />
    </More>
  );
}
