import { useState } from "react";
import type { Measurement, ShotResult } from "../../../shared/results/shot-result.ts";
import type { Shot } from "../../../shared/session/schema.ts";
import { useActions } from "../../actions/app-context.ts";
import { NoticeList } from "../parts/NoticeList.tsx";
import { noticesBeside } from "../parts/notices.ts";
import { swapsThere } from "./swaps-there.ts";

/** Says in which frames two points are marked for each other, and swaps them back in one step. */
export function SwappedPart({ shot, result }: { readonly shot: Shot; readonly result: ShotResult | null }) {
  const actions = useActions();
  const [done, setDone] = useState<Measurement | null>(null);
  const measurement = result?.measurement ?? null;
  const swaps = swapsThere(measurement, shot.marks);
  const [first] = swaps;
  if (result === null || measurement === null || first === undefined) return null;
  return (
    <>
      <NoticeList notices={noticesBeside("swapped", result.notices)} />
      <p className="buttons">
        <button
          type="button"
          // until the next result is there, this one speaks of the marks as they were
          disabled={done === measurement}
          onClick={() => {
            setDone(measurement);
            actions.change({ kind: "swap-marks", shotId: shot.id, swaps });
          }}
        >
          {swaps.length === 1 ? "Swap them back" : `Swap them back in ${swaps.length} frames`}
        </button>
        <button type="button" className="quiet" onClick={() => actions.goTo(first.frame)}>
          Go to frame {first.frame}
        </button>
      </p>
    </>
  );
}
