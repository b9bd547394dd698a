import type { Heading } from "../quantity/notice.ts";
import type { Airframe, Launcher, Point, Session, Shot, Tuning } from "./schema.ts";

/**
 * Something that a field's description says and a single number cannot break: an order, a pair, a reference.
 */
export interface FormFault {
  readonly path: readonly (string | number)[];
  readonly heading: Heading;
  readonly cause: string;
  readonly remedy: string;
}

/**
 * Some of a session, with at most one airframe, launcher and tuning: what is left out is not looked at, and
 * entries of its lists are null where they do not count.
 */
export interface DocumentPart {
  readonly airframe?: Airframe;
  readonly launcher?: Launcher | null;
  readonly tuning?: Tuning | undefined;
  readonly site?: Session["site"];
  readonly nextShot?: Session["nextShot"];
  readonly points?: readonly (Point | null)[];
  readonly shots?: readonly (Partial<Shot> | null)[];
  readonly cameras?: readonly (Session["cameras"][number] | null)[];
}

/** Orders and pairs that a session, or a part of one, breaks. */
export function formFaults(part: DocumentPart): readonly FormFault[] {
  return [
    ...balanceFaults(part),
    ...idFaults(part.launcher ?? null),
    ...(part.cameras ?? []).flatMap((camera, i) => (camera === null ? [] : lensFaults(camera, i))),
    ...(part.shots ?? []).flatMap((shot, i) => (shot === null ? [] : shotFormFaults(shot, i))),
  ];
}

function balanceFaults({ airframe, points }: DocumentPart): readonly FormFault[] {
  const cg = airframe?.centreOfGravity;
  if (cg == null) return [];
  const at = ["airframe", "centreOfGravity"];
  const remedy = "Choose two different points of the airframe under Marks.";
  if (cg.fromPointId === cg.towardPointId) {
    return [
      fault(at, "marks", `The balance point is measured from "${cg.fromPointId}" towards itself.`, remedy),
    ];
  }
  const off = [cg.fromPointId, cg.towardPointId].find(
    (id) => points?.some((point) => point?.id === id && point.on === "airframe") === false,
  );
  return off === undefined
    ? []
    : [
        fault(
          at,
          "marks",
          `The balance point is measured from "${off}", which is no point of the airframe.`,
          remedy,
        ),
      ];
}

/** Entries of a list of the launcher, as its motors, go by their ids. */
function idFaults(launcher: Launcher | null): readonly FormFault[] {
  return Object.entries(launcher ?? {}).flatMap(([list, entries]) => {
    if (!Array.isArray(entries)) return [];
    const ids: readonly unknown[] = entries.map((entry) => entry?.id);
    return ids.flatMap((id, i) =>
      id === undefined || ids.indexOf(id) === i
        ? []
        : [
            fault(
              ["launcher", list, i, "id"],
              "model",
              `Two ${list} have the id "${id}".`,
              "Remove one of them under Model, and add it again.",
            ),
          ],
    );
  });
}

// relative: a covariance written with all digits of a double is symmetric to far better
const ROUNDING = 1e-9;

function lensFaults({ lens }: Session["cameras"][number], camera: number): readonly FormFault[] {
  if (lens === undefined) return [];
  const terms = Math.sqrt(lens.covariance.length);
  const at = (i: number, j: number) => lens.covariance[i * terms + j] as number;
  for (let i = 0; i < terms; i++) {
    for (let j = 0; j <= i; j++) {
      const most = Math.sqrt(Math.max(0, at(i, i)) * Math.max(0, at(j, j))) * (1 + ROUNDING);
      const isSound = Math.abs(at(i, j)) <= most && Math.abs(at(i, j) - at(j, i)) <= ROUNDING * most;
      if (at(i, i) >= 0 && isSound) continue;
      return [
        fault(
          ["cameras", camera, "lens", "covariance", i * terms + j],
          "scale",
          "The lens's covariance is not valid: it must be symmetric, with no correlation beyond 1.",
          "Find the lens profile again under Scale, or remove it.",
        ),
      ];
    }
  }
  return [];
}

function shotFormFaults(shot: Partial<Shot>, i: number): readonly FormFault[] {
  const { clock, lamp } = shot;
  return [
    ...risingFaults(clock?.repeats?.frames, ["shots", i, "clock", "repeats", "frames"], "repeated frames"),
    ...risingFaults(
      clock?.kind === "capture-rate" ? clock.gaps?.map(({ afterFrame }) => afterFrame) : undefined,
      ["shots", i, "clock", "gaps"],
      "frames before the gaps",
    ),
    ...risingFaults(
      clock?.kind === "capture-rate" ? clock.parts?.map(({ from }) => from.value) : undefined,
      ["shots", i, "clock", "parts"],
      "frames where the parts begin",
    ),
    ...risingFaults(lamp?.frames, ["shots", i, "lamp", "frames"], "frames of the lamp"),
  ];
}

function risingFaults(
  list: readonly number[] | undefined,
  path: readonly (string | number)[],
  words: string,
): readonly FormFault[] {
  const at = list?.findIndex((frame, k) => k > 0 && !(frame > (list[k - 1] as number))) ?? -1;
  if (list === undefined || at < 0) return [];
  const pair = `[${list[at - 1]}, ${list[at]}]`;
  return [
    fault(
      path,
      "clock",
      `The ${words} must increase, and hold ${pair}.`,
      "Enter them again under Clock, each once.",
    ),
  ];
}

function fault(
  path: readonly (string | number)[],
  heading: Heading,
  cause: string,
  remedy: string,
): FormFault {
  return { path, heading, cause, remedy };
}
