import { useId, useMemo } from "react";
import { checksOfCamera } from "../../../shared/measure/clock-checks.ts";
import type { ClipFacts } from "../../../shared/session/clip-facts.ts";
import { filmedShot } from "../../../shared/session/filmed-shot.ts";
import type { Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { sessionOf } from "../../app-state/app-state.ts";
import { numbersHeld } from "../parts/sentences.ts";
import { checkSays } from "./clock-words.ts";

/**
 * What drops and lamps in clips of the same camera say of its rate, and whether the
 * rate in use listens to them.
 */
export function ClockChecks({ shot, facts }: { readonly shot: Shot; readonly facts: ClipFacts | null }) {
  const actions = useActions();
  const session = useAppState(sessionOf);
  const id = useId();
  const checks = useMemo(
    () => checksOfCamera(filmedShot(session, shot), facts).checks,
    [session, shot, facts],
  );
  const { clock } = shot;
  if (clock?.kind !== "capture-rate" || checks.length === 0) return null;
  return (
    <div className="checks">
      {checks.map((check) => (
        <p className="plain-says" key={`${check.kind} ${check.shotId} ${check.captureRateHz.value}`}>
          {numbersHeld(checkSays(check, shot, session.shots, clock.captureRateHz))}
        </p>
      ))}
      <p className="switch">
        <input
          id={id}
          type="checkbox"
          checked={clock.useChecks === true}
          onChange={(event) =>
            actions.change({
              kind: "update-shot",
              shotId: shot.id,
              patch: { clock: { ...clock, useChecks: event.target.checked } },
            })
          }
        />
        <label htmlFor={id}>
          Use the {checks.length === 1 ? "check" : "checks"} together with the stated rate
        </label>
      </p>
    </div>
  );
}
