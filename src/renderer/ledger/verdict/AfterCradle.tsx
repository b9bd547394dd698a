import { useMemo } from "react";
import { stackOfPath } from "../../../shared/figures/stack-of-path.ts";
import { AFTER_RELEASE } from "../../../shared/predict/after-release.ts";
import type { UnitSet } from "../../../shared/quantity/display.ts";
import type { ShotResult } from "../../../shared/results/shot-result.ts";
import { PlainFigure } from "../../charts/PlainFigure.tsx";
import { NoticeList } from "../parts/NoticeList.tsx";
import { noticesBeside } from "../parts/notices.ts";
import { QuantityTable } from "../parts/QuantityTable.tsx";

/** The flight of an airframe whose launcher goes on pushing, if nobody steers it: path and landing. */
export function AfterCradle(props: { readonly result: ShotResult | null; readonly units: UnitSet }) {
  const { result, units } = props;
  const figure = useMemo(() => (result === null ? null : stackOfPath(result, units)), [result, units]);
  return (
    <>
      <h3>Flight that nobody steers</h3>
      <p className="plain">
        From leaving the cradle through burnout to the ground, as a body without lift whose nose follows the
        air: where it comes down when nobody flies it.
      </p>
      {figure === null ? null : <PlainFigure figure={figure} />}
      {result === null ? null : <QuantityTable result={result} units={units} only={AFTER_RELEASE} />}
      <NoticeList notices={noticesBeside("flight", result?.notices ?? [])} />
    </>
  );
}
