import type { ClipFacts } from "../../../shared/session/clip-facts.ts";
import type { Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { rodField } from "../../app-state/asked-fields.ts";
import { HAND_U_PX, HANG_U_RAD } from "../../picking/picked.ts";
import { MeasuredField } from "../fields/MeasuredField.tsx";
import { More } from "../fields/More.tsx";
import { NumberField } from "../fields/NumberField.tsx";
import { PickedIn } from "../fields/PickedIn.tsx";
import { ControlFields } from "./ControlFields.tsx";
import { LensFields } from "./LensFields.tsx";
import { LevelFields } from "./LevelFields.tsx";
import { RodList } from "./RodList.tsx";
import { SettingFields } from "./SettingFields.tsx";
import { SizeLine } from "./SizeLine.tsx";

/** What a pixel is worth, and which way is down. */
export function ScaleSection({ shot, facts }: { readonly shot: Shot; readonly facts: ClipFacts | null }) {
  const actions = useActions();
  const pending = useAppState((s) => s.pending);
  const pick = useAppState((s) => s.pick);
  const patch = (part: Partial<Shot>) =>
    actions.change({ kind: "update-shot", shotId: shot.id, patch: part });
  const hasLens = useAppState((s) =>
    s.history.present.cameras.some((one) => one.id === shot.cameraId && one.lens !== undefined),
  );
  const { scale, plumb } = shot;
  const picked = scale !== null || (pending.scaleA !== null && pending.scaleB !== null);
  return (
    <>
      <h3>Rod</h3>
      <p className="plain">
        <button
          type="button"
          aria-pressed={pick?.kind === "scale"}
          onClick={() => actions.choosePick({ kind: "scale", end: "a" })}
        >
          {picked ? "Pick both ends again" : "Pick the rod's two ends"}
        </button>
        {scale === null ? null : (
          <button type="button" className="quiet" onClick={() => patch({ scale: null })}>
            Remove
          </button>
        )}
      </p>
      <MeasuredField
        field={rodField(shot.id, null)}
        label="Length between the ends"
        path="shots[].scale.rodM"
        measured={scale?.rodM ?? pending.rodM}
        waits={scale === null}
        hint={scale === null && !picked ? "Kept until both ends are picked." : undefined}
        onEntry={(rodM) => rodM && actions.typeRod(rodM)}
      />
      {scale === null ? null : (
        <NumberField
          label="Each pick is good to ±"
          path="shots[].scale.uPx"
          value={scale.uPx}
          onEntry={(uPx) => uPx && patch({ scale: { ...scale, uPx } })}
        />
      )}
      {scale === null ? null : <PickedIn shot={shot} frames={[scale.aFrame, scale.bFrame]} />}
      <SizeLine />
      <h3>Plumb</h3>
      <p className="plain">
        <button
          type="button"
          aria-pressed={pick?.kind === "plumb"}
          onClick={() => actions.choosePick({ kind: "plumb", end: "top" })}
        >
          {plumb === null ? "Pick the plumb's top and bottom" : "Pick both ends again"}
        </button>
        {plumb === null ? null : (
          <button type="button" className="quiet" onClick={() => patch({ plumb: null })}>
            Remove
          </button>
        )}
      </p>
      {plumb === null ? (
        <p className="field-hint">
          A hanging line, or another true vertical. It is taken to hang true to ±{" "}
          {((HANG_U_RAD * 180) / Math.PI).toFixed(1)}°, and each pick good to ± {HAND_U_PX} px, until you say
          otherwise.
        </p>
      ) : (
        <>
          <NumberField
            label="It hangs true to ±"
            path="shots[].plumb.hangRad"
            value={plumb.hangRad}
            onEntry={(hangRad) => hangRad !== null && patch({ plumb: { ...plumb, hangRad } })}
          />
          <NumberField
            label="Each pick is good to ±"
            path="shots[].plumb.uPx"
            value={plumb.uPx}
            onEntry={(uPx) => uPx && patch({ plumb: { ...plumb, uPx } })}
          />
          <PickedIn shot={shot} frames={[plumb.topFrame, plumb.bottomFrame]} />
        </>
      )}
      <More title="Further rods" says={counted(shot.rods?.length ?? 0, "rod")}>
        <RodList shot={shot} />
      </More>
      <More title="Level" says={shot.level === undefined ? undefined : "in use"}>
        <LevelFields shot={shot} />
      </More>
      <More title="Known points of the plane" says={counted(shot.control?.points.length ?? 0, "point")}>
        <ControlFields shot={shot} />
      </More>
      <More
        title="Flight out of the rod's plane"
        says={
          shot.control !== undefined
            ? shot.setting && "not in use"
            : shot.setting === undefined
              ? "± 10 mm assumed"
              : "allowed for"
        }
      >
        <SettingFields shot={shot} />
      </More>
      <More title="Lens" says={hasLens ? "taken out" : undefined}>
        <LensFields shot={shot} facts={facts} />
      </More>
    </>
  );
}

/** "2 rods in use"; nothing when there are none. */
function counted(n: number, what: string): string | undefined {
  if (n === 0) return undefined;
  return `${n} ${n === 1 ? what : `${what}s`} in use`;
}
