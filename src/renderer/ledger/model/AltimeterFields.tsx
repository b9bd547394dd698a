import { modelOf } from "../../../shared/launchers/launcher-models.ts";
import { showMeasured } from "../../../shared/quantity/display.ts";
import type { Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { launcherInView } from "../../app-state/things-in-view.ts";
import { Choice } from "../fields/Choice.tsx";
import { MeasuredField } from "../fields/MeasuredField.tsx";
import { More } from "../fields/More.tsx";

type Altimeter = NonNullable<Shot["altimeter"]>;

/** An altimeter carried on a vertical shot: its greatest height, and what air it assumed. */
export function AltimeterFields({ shot }: { readonly shot: Shot }) {
  const actions = useActions();
  const units = useAppState((s) => s.history.present.units);
  const launcher = useAppState(launcherInView);
  const { altimeter } = shot;
  const set = (next: Altimeter | undefined) =>
    actions.change({ kind: "update-shot", shotId: shot.id, patch: { altimeter: next } });
  return (
    <More
      title="Altimeter"
      says={altimeter === undefined ? undefined : showMeasured(altimeter.apogeeM, "m", units).text}
    >
      <p className="plain">
        Carried straight up, an altimeter checks the release speed with neither clock nor scale; the check
        stands under Verdict. The airframe's drag area, asked for{" "}
        {modelOf(launcher)?.pushesAfterRelease ? "below" : "there under Flight after release"}, makes it
        sharp.
      </p>
      <MeasuredField
        field={`${shot.id} altimeter`}
        path="shots[].altimeter.apogeeM"
        optional
        measured={altimeter?.apogeeM ?? null}
        onEntry={(apogeeM) =>
          set(apogeeM === null ? undefined : { apogeeM, assumes: altimeter?.assumes ?? "standard" })
        }
      />
      {altimeter === undefined ? null : (
        <Choice
          label="It assumed"
          options={[
            ["standard", "standard air, 15 °C at the ground"],
            ["day", "the day's temperature"],
          ]}
          value={altimeter.assumes}
          onChoose={(assumes) => set({ ...altimeter, assumes })}
        />
      )}
    </More>
  );
}
