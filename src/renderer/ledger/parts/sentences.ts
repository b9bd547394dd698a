import { hasModel, launcherModel, modelOf } from "../../../shared/launchers/launcher-models.ts";
import { partsSay } from "../../../shared/measure/part-words.ts";
import { askOf } from "../../../shared/next-shot/next-shot.ts";
import { plainNumber } from "../../../shared/next-shot/plain-number.ts";
import { WORDS } from "../../../shared/next-shot/setting.ts";
import { showMeasured, type UnitSet } from "../../../shared/quantity/display.ts";
import type { ShotResult } from "../../../shared/results/shot-result.ts";
import { plumbAngle } from "../../../shared/scale/plumb-angle.ts";
import { twoPointScale } from "../../../shared/scale/two-point-scale.ts";
import type { ClipFacts } from "../../../shared/session/clip-facts.ts";
import type { Launcher, Point, Session, Shot, Tuning } from "../../../shared/session/schema.ts";
import type { ClipKnowledge } from "../../host/service.ts";

/** What is known under a heading, in a sentence or two; `done` when nothing needed is missing. */
export interface Said {
  readonly text: string;
  readonly done: boolean;
}

const said = (text: string): Said => ({ text, done: true });
const wanted = (text: string): Said => ({ text, done: false });

/** @param isOther whether the file is not the one that the shot's marks were placed in */
export function clipSays(shot: Shot, knowledge: ClipKnowledge | undefined, isOther = false): Said {
  if (shot.clip === null) return wanted("No clip yet: choose one of the folder's.");
  if (knowledge === undefined || knowledge.status === "inspecting")
    return said(`${shot.clip} is being looked at.`);
  if (knowledge.status === "failed") return wanted(knowledge.fault.cause);
  const { width, height, pts, durationS, playbackRateHz } = knowledge.facts;
  const what = isOther ? wanted : said;
  return what(
    `${shot.clip}: ${pts.length} frames of ${width} × ${height} px; plays ${durationS.toFixed(1)} s at ${rate(playbackRateHz)} frames/s.`,
  );
}

export function clockSays(shot: Shot, facts: ClipFacts | null, result: ShotResult | null = null): Said {
  const { clock } = shot;
  if (clock?.kind === "capture-rate") {
    if (clock.parts !== undefined && clock.parts.length > 0)
      return said(
        `The clip has ${clock.parts.length + 1} parts: ${partsSay(clock.captureRateHz, clock.parts)}.`,
      );
    const stated = showMeasured(clock.captureRateHz, "1");
    const used =
      clock.useChecks === true
        ? (result?.measurement?.captureRateHz ?? clock.captureRateHz)
        : clock.captureRateHz;
    const checked = clock.useChecks === true ? `, ${showMeasured(used, "1").text} with its checks` : "";
    return said(
      `Filmed at ${stated.text}${checked === "" ? " frames/s" : ` frames/s${checked}`}: a frame is ${(1000 / used.value).toPrecision(4)} ms.`,
    );
  }
  if (clock?.kind === "timestamps")
    return said("The file plays in real time; each frame's own timestamp is its time.");
  const plays =
    facts === null
      ? ""
      : ` The file plays at ${rate(facts.playbackRateHz)} frames/s, which may not be the rate it was filmed at.`;
  return wanted(`Say how fast the camera filmed.${plays}`);
}

export function scaleSays(shot: Shot, units: UnitSet, result: ShotResult | null = null): Said {
  const { scale, plumb, control } = shot;
  const measured = result?.measurement?.scale ?? null;
  if (control !== undefined) {
    const points = `A plane of ${control.points.length} known points`;
    return measured === null
      ? wanted(`${points}.`)
      : said(`${points}: ${millimetres(measured)} mm a pixel in its middle.`);
  }
  if (scale === null)
    return wanted("Click both ends of something of known length in the flight plane, and type its length.");
  const perPx = twoPointScale(scale.a, scale.b, scale.rodM, scale.uPx);
  const rod = showMeasured(scale.rodM, "m", units).text;
  if (!perPx.ok) return wanted(`A rod of ${rod}, but its picked ends are too close to scale by.`);
  const others = shot.rods?.length ?? 0;
  const what =
    others === 0 ? `A rod of ${rod}` : `A rod of ${rod} and ${others === 1 ? "another" : `${others} others`}`;
  const where = shot.setting === undefined ? "" : " in the plane of the flight";
  const alone = others === 0 && where === "" ? perPx.value : (measured ?? perPx.value);
  const length = `${what}: ${millimetres(alone)} mm a pixel${where}.`;
  if (plumb === null && shot.level !== undefined) return said(`${length} The level line tells the roll.`);
  if (plumb === null) return wanted(`${length} Mark the plumb too: angles are taken from it.`);
  const roll = plumbAngle(plumb.top, plumb.bottom, plumb.uPx, plumb.hangRad);
  if (!roll.ok) return wanted(`${length} The plumb's ends are too close to tell a direction.`);
  return said(`${length} The plumb leans ${showMeasured(roll.value, "rad").text} in the picture.`);
}

export function marksSays(shot: Shot, points: readonly Point[], result: ShotResult | null): Said {
  if (shot.marks.length === 0)
    return wanted("No marks yet: click each point, frame by frame, through the launch.");
  const frames = new Set(shot.marks.map((mark) => mark.frame)).size;
  const counts = points
    .map((point) => ({ name: point.name, n: shot.marks.filter((mark) => mark.pointId === point.id).length }))
    .filter(({ n }) => n > 0)
    .map(({ name, n }) => `${name} ${n}`)
    .join(", ");
  const u = shot.marks.at(-1)!.u;
  const noise = result?.measurement?.noiseRatio;
  const scatter =
    noise === undefined ? "" : ` Their scatter is ${noise.toFixed(2)} times the ± ${u} px stated.`;
  return {
    text: `${shot.marks.length} marks in ${frames} frames: ${counts}.${scatter}`,
    done: result?.measurement != null,
  };
}

export function motionSays(result: ShotResult | null): Said {
  const measurement = result?.measurement ?? null;
  if (measurement === null)
    return wanted("Speeds appear here once there are a clock, a scale and a handful of marked frames.");
  const { pushTime, stroke } = measurement.quantities;
  if (pushTime === undefined) return said("The motion is measured.");
  const push = `From 2 to 98 % of the release speed in ${milliseconds(pushTime)}`;
  return said(
    stroke === undefined ? `${push}.` : `${push}; released after ${showMeasured(stroke, "m").text}.`,
  );
}

export function modelSays(launcher: Launcher | null, result: ShotResult | null, units: UnitSet): Said {
  if (launcher === null)
    return wanted("Describe the launcher, and its prediction appears beside the measurement.");
  if (launcherModel(launcher).push === null)
    return said(`${launcher.name || "A throw by hand"}: no model; the measurement stands alone.`);
  const predicted = result?.prediction?.quantities.releaseSpeed;
  if (predicted === undefined)
    return wanted(`${launcher.name || "The launcher"} is described; there is no prediction yet.`);
  return said(`Predicted release speed ${showMeasured(predicted, predicted.unit, units).text}.`);
}

export function verdictSays(result: ShotResult | null, launcher: Launcher | null = null): Said {
  const verdict = result?.comparison?.verdict;
  if (verdict !== undefined) return said(verdict);
  if (result?.measurement != null && modelOf(launcher)?.push === null)
    return said("Measured; without a model the measurement stands alone.");
  if (result?.measurement != null) return wanted("Measured; there is no model yet to compare it with.");
  return wanted("What this shot says about launcher and airframe appears here.");
}

/** What is wanted of the next shot; nothing need be. */
export function tuningSays(launcher: Launcher | null, tuning: Tuning | undefined): Said {
  if (!hasModel(launcher)) {
    return said(
      "With a launcher that has a model, its doubtful inputs can be fitted to the measured shots here.",
    );
  }
  if (tuning === undefined || tuning.tuned === null) {
    return said("The launcher is as stated. Its doubtful inputs can be fitted to the measured shots here.");
  }
  const { shotCount, undetermined } = tuning.tuned;
  const found = tuning.parameters.length - undetermined.length;
  const on = shotCount === 1 ? "one shot" : `${shotCount} shots`;
  const use = tuning.use ? "predictions use the tuned values" : "predictions still use the stated values";
  return said(`${found} of ${tuning.parameters.length} inputs tuned on ${on}; ${use}.`);
}

export function nextShotSays(
  { nextShot, units }: Pick<Session, "nextShot" | "units">,
  launcher: Launcher | null,
): Said {
  if (modelOf(launcher)?.push === null) {
    return said(
      "Without a model nothing says what to set for a speed; how repeatable the shots were is shown here.",
    );
  }
  const { speedMPerS: wanted, choose } = askOf(nextShot, launcher);
  if (wanted === null) return said("Type the release speed you want, and what to set for it appears here.");
  const by = launcher === null ? "" : `, by the ${WORDS[choose]}`;
  return said(`${plainNumber(wanted.value, "m/s", units)} is wanted${by}.`);
}

/**
 * The text with the spaces inside "7 ± 4 %" made unbreakable, so that a number stays on one
 * line with its uncertainty.
 */
export function numbersHeld(text: string): string {
  return text.replace(/(\d) (?=[±%×]|kg\b|mm?\b)/g, "$1\u00a0").replace(/([±×]) (?=\d)/g, "$1\u00a0");
}

function millimetres({ value, u }: { readonly value: number; readonly u: number }): string {
  return showMeasured({ value: value * 1000, u: u * 1000 }, "1").text;
}

/** "92.4 ± 0.4 ms" */
export function milliseconds({ value, u }: { readonly value: number; readonly u: number }): string {
  const shown = showMeasured({ value: value * 1000, u: u * 1000 }, "1");
  return `${shown.value} ± ${shown.u} ms`;
}

function rate(hz: number): string {
  return String(Number(hz.toPrecision(5)));
}
