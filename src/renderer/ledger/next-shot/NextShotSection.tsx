import { useMemo, useState } from "react";
import { modelOf } from "../../../shared/launchers/launcher-models.ts";
import { askOf } from "../../../shared/next-shot/next-shot.ts";
import { shotSpeeds } from "../../../shared/next-shot/repeats.ts";
import { cardKind } from "../../../shared/next-shot/speed-card.ts";
import type { Shot } from "../../../shared/session/schema.ts";
import { launcherOf } from "../../../shared/session/what-took-part.ts";
import { useAppState } from "../../actions/app-context.ts";
import { CardPart } from "./CardPart.tsx";
import { NextShotAnswer } from "./NextShotAnswer.tsx";
import { NextShotAsk } from "./NextShotAsk.tsx";
import { RepeatTables } from "./NextShotTables.tsx";
import { useNextShot } from "./use-next-shot.ts";

/** What to set for a wanted release speed, within which limits, and how repeatable the shots were. */
export function NextShotSection({ shot }: { readonly shot: Shot }) {
  const session = useAppState((s) => s.history.present);
  const results = useAppState((s) => s.results);
  const launcher = launcherOf(session, shot);
  const ask = askOf(session.nextShot, launcher);
  const speeds = useMemo(() => shotSpeeds(session, shot, Object.values(results)), [session, shot, results]);
  const [cardOpen, setCardOpen] = useState(false);
  const { report, card, fresh, failed } = useNextShot(session, shot, ask, speeds, cardOpen);
  const { units } = session;
  const kind = cardKind(launcher);
  if (modelOf(launcher)?.push === null) {
    return report === null ? null : (
      <div className={`next-shot ${fresh ? "" : "behind"}`} aria-busy={!fresh}>
        <h3>Repeats</h3>
        <RepeatTables groups={report.groups} units={units} />
      </div>
    );
  }
  return (
    <>
      <NextShotAsk ask={ask} launcher={launcher} />
      <div className={`next-shot ${fresh ? "" : "behind"}`} aria-busy={!fresh} aria-live="polite">
        {failed === null || !fresh ? null : (
          <p className="field-problem">
            This could not be solved: {failed}. Undo the last change; nothing is lost.
          </p>
        )}
        <p className="next-works">
          {fresh ? "" : report === null ? "Calculating." : "Calculating; showing the previous answer."}
        </p>
        {report === null ? null : (
          <NextShotAnswer report={report} units={units} motors={ask.choose === "motor"} />
        )}
        {kind === null ? null : (
          <CardPart ask={ask} card={card} kind={kind} open={cardOpen} onOpen={setCardOpen} />
        )}
      </div>
    </>
  );
}
