import { useId } from "react";
import type { ShotNotice } from "../../../shared/results/notices/shot-notices.ts";
import { pictureCheckWords } from "../../../shared/session/picture-checks.ts";
import type { Shot } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { Choice } from "../fields/Choice.tsx";
import { MovementPart } from "./MovementPart.tsx";
import { NotesField } from "./NotesField.tsx";
import { PartsFound } from "./PartsFound.tsx";
import { UnusableClips } from "./UnusableClips.tsx";
import { WhichClip } from "./WhichClip.tsx";

/** Which clip the shot is, what is known of it, and which way the airframe flies in it. */
export function ClipSection({
  shot,
  notices,
}: {
  readonly shot: Shot;
  readonly notices: readonly ShotNotice[];
}) {
  const actions = useActions();
  const clips = useAppState((s) => s.clips);
  const knowledge = useAppState((s) => (shot.clip === null ? undefined : s.known[shot.clip]));
  const id = useId();
  const patch = (part: Partial<Shot>) =>
    actions.change({ kind: "update-shot", shotId: shot.id, patch: part });
  const gone = shot.clip !== null && !clips.some((clip) => clip.name === shot.clip);
  return (
    <>
      <div className="field">
        <label className="field-label" htmlFor={id}>
          Clip
        </label>
        <select
          id={id}
          value={shot.clip ?? ""}
          onChange={(e) => patch(otherClip(shot, e.target.value || null))}
        >
          <option value="">none</option>
          {gone ? <option value={shot.clip!}>{shot.clip} (not in the folder)</option> : null}
          {clips.map((clip) => (
            <option key={clip.name} value={clip.name} disabled={clip.fault !== undefined}>
              {clip.name}
              {clip.fault === undefined ? "" : " (cannot be used)"}
            </option>
          ))}
        </select>
      </div>
      <UnusableClips />
      {knowledge?.status === "failed" ? (
        <div className="notice warning">
          {knowledge.fault.cause} <span className="remedy">{knowledge.fault.remedy}</span>{" "}
          <button type="button" onClick={() => void actions.inspect(shot.clip!)}>
            Look again
          </button>
        </div>
      ) : null}
      {knowledge?.status === "known" ? (
        <>
          <MovementPart shot={shot} facts={knowledge.facts} notices={notices} />
          <PartsFound shot={shot} facts={knowledge.facts} notices={notices} />
        </>
      ) : null}
      {shot.clip === null ? null : <WhichClip clip={shot.clip} />}
      {knowledge?.status === "known" ? (
        <p className="plain">
          {knowledge.facts.codec}, {knowledge.facts.bitDepth} bit
          {knowledge.facts.rotationDeg === 0 ? "" : `, stored turned by ${knowledge.facts.rotationDeg}°`}
          {knowledge.facts.pixelAspect[0] === knowledge.facts.pixelAspect[1]
            ? ""
            : `, pixels ${knowledge.facts.pixelAspect.join(" : ")}`}
          ; {knowledge.facts.constantRate ? "evenly timed" : "unevenly timed"};{" "}
          {(knowledge.facts.bytes / 1e6).toFixed(1)} MB. {pictureCheckWords(knowledge.facts)}
        </p>
      ) : null}
      {knowledge?.status === "known" && knowledge.facts.endsEarly === true ? (
        <p className="notice note">
          {shot.clip} is cut off: its file ends before the camera's index says. The{" "}
          {knowledge.facts.pts.length} frames that are whole can be used.{" "}
          <span className="remedy">If the launch lies beyond, copy it again.</span>
        </p>
      ) : null}
      <Choice
        label="The airframe flies to the"
        options={[
          ["right", "right"],
          ["left", "left"],
        ]}
        value={shot.direction}
        onChoose={(direction) => patch({ direction })}
      />
      <NotesField value={shot.notes} onEntry={(notes) => patch({ notes })} />
      <button
        type="button"
        className="quiet"
        onClick={() => actions.change({ kind: "remove-shot", shotId: shot.id })}
      >
        Remove this shot and its marks (the clip stays)
      </button>
    </>
  );
}

/**
 * Repeated and missing frames, parts at other rates, and how the camera moved, are those of a clip: another
 * clip starts without.
 */
function otherClip({ clock, movement }: Shot, clip: string | null): Partial<Shot> {
  const other = { clip, ...(movement && { movement: undefined }) };
  if (clock === null) return other;
  const { repeats: _repeats, ratesStand: _stand, ...rest } = clock;
  return {
    ...other,
    clock: rest.kind === "capture-rate" ? { ...rest, gaps: undefined, parts: undefined } : rest,
  };
}
