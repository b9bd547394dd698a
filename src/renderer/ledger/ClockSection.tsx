import { useState } from "react";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { Clock, Shot } from "../../shared/session/schema.ts";
import { useDesk } from "../state/desk-context.ts";
import { Choice } from "./Choice.tsx";
import { MeasuredField } from "./MeasuredField.tsx";

const CRYSTAL = { value: 0, u: 1e-4 }; // 100 ppm: what an uncompensated quartz in the field may be off by

/** How frame numbers become seconds. */
export function ClockSection({ shot, facts }: { readonly shot: Shot; readonly facts: ClipFacts | null }) {
  const desk = useDesk();
  const [chosen, setChosen] = useState<Clock["kind"]>(shot.clock?.kind ?? "capture-rate");
  const kind = shot.clock?.kind ?? chosen;
  const set = (clock: Clock | null) =>
    desk.change({ kind: "update-shot", shotId: shot.id, patch: { clock } });
  const tagged = facts?.captureRateHz ?? null;
  const rate = shot.clock?.kind === "capture-rate" ? shot.clock.captureRateHz : null;

  function choose(next: Clock["kind"]): void {
    setChosen(next);
    if (next === "timestamps") set({ kind: "timestamps", rateError: CRYSTAL });
    else if (shot.clock !== null) set(null);
  }
  return (
    <>
      <Choice
        label="The file"
        options={[
          ["capture-rate", "is slow motion"],
          ["timestamps", "plays in real time"],
        ]}
        value={kind}
        onChoose={choose}
      />
      {kind === "capture-rate" ? (
        <>
          <MeasuredField
            field={`${shot.id} capture-rate`}
            label="Capture rate"
            kind="rate"
            rule="positive"
            measured={rate}
            hint="What the camera was set to while filming; a lamp or timer in view can check it."
            onEntry={(captureRateHz) => captureRateHz && set({ kind: "capture-rate", captureRateHz })}
          />
          {tagged !== null && rate?.value !== tagged ? (
            <p className="plain">
              The file says it was filmed at {tagged} frames/s.{" "}
              <button
                type="button"
                onClick={() =>
                  set({ kind: "capture-rate", captureRateHz: { value: tagged, u: tagged * 1e-3 } })
                }
              >
                Take {tagged} ± {Number((tagged * 1e-3).toPrecision(2))}
              </button>
            </p>
          ) : null}
        </>
      ) : (
        <MeasuredField
          field={`${shot.id} rate-error`}
          label="The file's clock is off by"
          kind="parts-per-million"
          rule="any"
          measured={shot.clock?.kind === "timestamps" ? shot.clock.rateError : null}
          onEntry={(rateError) => rateError && set({ kind: "timestamps", rateError })}
        />
      )}
    </>
  );
}
