import { createChance } from "../quantity/chance.ts";
import { FIRST_AIRFRAME, freshSession, freshShot } from "../session/fresh.ts";
import type { Mark, Session } from "../session/schema.ts";
import type { ExpectedMotion } from "./expected-motion.ts";
import type { CameraPlanInput } from "./plan-input.ts";
import { type PlannedView, pointsOnBody } from "./planned-view.ts";

export const PLANNED_SHOT_ID = "planned";

const DISTANCE_U = 0.02; // of the distance: paced out or taped; it counts only where rod and flight lie apart

/**
 * The session that a person would have after filming and marking the expected shot
 * through the planned camera.
 * @param seed decides where between two frames the motion starts, and every error
 * @param errors "marks": the marks are off by their u, everything else is as stated, which is what a plan
 *   needs; "all": rate, rod, picks, plumb, plane and balance point are off by theirs too, as on the field
 */
export function plannedSession(
  input: CameraPlanInput,
  motion: ExpectedMotion,
  view: PlannedView,
  seed: number,
  errors: "marks" | "all",
): Session {
  const chance = createChance(seed);
  const phase = chance.uniform();
  const off = (u: number) => (errors === "all" ? u * chance.normal() : 0);
  const { captureRateHz, rodM, distanceM, pickPx, heightPx } = input;
  // Stated values are the input's; the truth is off.
  const rateHz = captureRateHz.value + off(captureRateHz.u);
  const rodPx =
    ((rodM.value + off(rodM.u)) / view.scaleMPerPx) * ((distanceM - off(input.planeU)) / distanceM);
  const lean = off(input.hangRad);
  const [balanceAlong, balanceAbove] = [off(input.balanceU), off(input.balanceU)];
  const pick = (x: number, y: number): [number, number] => [x + off(pickPx), y + off(pickPx)];
  const [middleX, middleY] = [input.widthPx / 2, heightPx / 2];
  const plumbPx = plumbInPicture(input, view);
  const scale = {
    a: pick(middleX - rodPx / 2, middleY),
    b: pick(middleX + rodPx / 2, middleY),
    uPx: pickPx,
    rodM,
  };
  const plumb = {
    top: pick(middleX, middleY - plumbPx / 2),
    bottom: pick(middleX + plumbPx * Math.sin(lean), middleY + (plumbPx / 2) * Math.cos(lean)),
    uPx: pickPx,
    hangRad: input.hangRad,
  };
  const startS = (input.restFrames + phase) / rateHz;
  const lastFrame =
    Math.floor((startS + motion.pushS) * rateHz) + Math.min(input.flightFrames, view.flightFramesInView);
  const body = pointsOnBody(input).map(
    ([along, above]) => [along + balanceAlong, above + balanceAbove] as const,
  );
  const points = body.map((_, i) => ({
    id: `point-${i + 1}`,
    name: `point ${i + 1}`,
    on: "airframe" as const,
    airframeId: FIRST_AIRFRAME,
    body: null,
  }));
  const marks: Mark[] = [];
  for (let frame = 0; frame <= lastFrame; frame++) {
    const timeS = frame / rateHz - startS;
    const [x, y, pitch] = motion.poseAt(timeS);
    const [cos, sin] = [Math.cos(pitch), Math.sin(pitch)];
    const u = markU(input, motion.speedAt(timeS), view.scaleMPerPx);
    body.forEach(([along, above], i) => {
      const [px, py] = view.pixelOf([x + cos * along - sin * above, y + sin * along + cos * above]);
      marks.push({
        pointId: `point-${i + 1}`,
        frame,
        x: px + u * chance.normal(),
        y: py + u * chance.normal(),
        u,
        by: "hand",
      });
    });
  }
  const session = freshSession("plan");
  return {
    ...session,
    points,
    airframes: session.airframes.map((airframe) => ({
      ...airframe,
      centreOfGravity: {
        fromPointId: "point-1",
        towardPointId: `point-${input.points}`,
        alongM: { value: input.spacingM / 2, u: input.balanceU },
        aboveM: { value: 0, u: input.balanceU },
      },
    })),
    cameras: [{ id: "camera", name: "", captureRateHz, exposureS: input.exposureS }],
    shots: [
      {
        ...freshShot(PLANNED_SHOT_ID, "planned shot", null),
        cameraId: "camera",
        clock: { kind: "capture-rate", captureRateHz },
        scale,
        plumb,
        setting: {
          distanceM: { value: distanceM, u: DISTANCE_U * distanceM },
          nearerM: { value: 0, u: input.planeU },
          turnRad: { value: 0, u: 0 },
        },
        marks,
      },
    ],
  };
}

/** px, length of the plumb as far as the picture shows it. */
function plumbInPicture({ plumbM, heightPx }: CameraPlanInput, { scaleMPerPx }: PlannedView): number {
  return Math.min(plumbM / scaleMPerPx, heightPx);
}

/** px, u of a mark: the sharp target's and a share of the smear, in root sum of squares. */
function markU({ markPx, smearShare, exposureS }: CameraPlanInput, speed: number, scale: number): number {
  return Math.hypot(markPx, (smearShare * speed * exposureS) / scale);
}
