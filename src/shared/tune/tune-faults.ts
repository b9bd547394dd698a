import { hasModel } from "../launchers/launcher-models.ts";
import type { TuneFaultCode } from "../quantity/fault-codes.ts";
import type { Fault } from "../quantity/notice.ts";
import { isImpossible } from "../results/input-notices.ts";
import { predictionFaults } from "../session/input-faults.ts";
import { launchInputs, outingLaunch } from "../session/launch-inputs.ts";
import { namedShots, type OutingShot, outingShotOf, outingShots } from "../session/outings.ts";
import type { Session } from "../session/schema.ts";
import { statedOtherwise } from "../session/stated-otherwise.ts";
import { NOTHING_TO_TUNE } from "./tunable-of-shot.ts";
import { type Tunable, tunableIn, tunableParameters } from "./tunable-parameters.ts";
import type { TuneRequest } from "./tune-request.ts";

/** The first thing wrong with a request, before anything is fitted; null when there is nothing. */
export function tuneFault(
  session: Session,
  request: TuneRequest,
  tracks: { has(id: string): boolean },
): Fault | null {
  const { launcherId, parameters, shotIds, heldOutShotIds } = request;
  const inputs = parameterFault(tunableIn(session, launcherId), parameters);
  if (inputs !== null) return inputs;
  if (shotIds.length === 0) {
    return fault(
      "no-shots-to-tune",
      "No measured shot was chosen to tune on.",
      "Measure a shot first, and choose it.",
    );
  }
  const choice = shotsFault(session, request);
  if (choice !== null) return choice;
  const lacking = [...shotIds, ...heldOutShotIds].find((id) => !tracks.has(id));
  return lacking === undefined
    ? null
    : fault(
        "shot-not-measured",
        `Shot "${lacking}" could not be measured, so the launcher cannot be tuned on it.`,
        "See what its measurement lacks, or leave the shot out.",
      );
}

/** What is wrong with the shots alone, which can be said before any of them is measured. */
export function shotsFault(
  session: Session,
  { launcherId, shotIds, heldOutShotIds }: Omit<TuneRequest, "parameters">,
): Fault | null {
  for (const id of [...shotIds, ...heldOutShotIds]) {
    const elsewhere = outingShotOf(session, id);
    if (elsewhere !== null) {
      const wrong = outingFault(session, launcherId, elsewhere);
      if (wrong !== null) return wrong;
      continue;
    }
    const shot = session.shots.find((one) => one.id === id);
    if (shot === undefined) {
      const ids = namedShots(session)
        .map((one) => one.id)
        .join(", ");
      return fault("unknown-shot", `There is no shot "${id}".`, `The session has: ${ids}.`);
    }
    if (shot.launcherId !== launcherId) {
      const name = session.launchers.find((one) => one.id === launcherId)?.name || launcherId;
      return fault(
        "shot-of-another-launcher",
        `Shot "${id}" was not thrown by the launcher that is tuned, ${name}.`,
        "Leave it out, or say under Model that this launcher threw it.",
      );
    }
    const untuned = { ...launchInputs(session, shot), tuning: undefined };
    const wrong = predictionFaults(untuned).find(isImpossible);
    if (wrong !== undefined) return fault("impossible-input", wrong.cause, wrong.remedy);
  }
  const both = shotIds.find((id) => heldOutShotIds.includes(id));
  if (both !== undefined) {
    return fault(
      "shot-twice",
      `Shot "${both}" is both tuned on and held out.`,
      "Put it on one side or the other: a held-out shot tells something only when the tuning has not seen it.",
    );
  }
  return null;
}

/** The shots of other outings that a launcher can be tuned on. */
export function outingShotsToTune(session: Session, launcherId: string): readonly OutingShot[] {
  return outingShots(session).filter((one) => outingFault(session, launcherId, one) === null);
}

/** Why a launcher cannot be tuned on a shot of another outing; null where it can. */
export function outingFault(session: Session, launcherId: string, one: OutingShot): Fault | null {
  const { id, name, launcherThere } = one;
  const here = session.launchers.find((launcher) => launcher.id === launcherId);
  const leaveOut = "Leave it out, or say under Tuning which launcher and airframe of this session it had.";
  const launch = one.launcherId === launcherId ? outingLaunch(session, one) : null;
  if (launch === null || launcherThere === null || here === undefined) {
    const called = here?.name || launcherId;
    return fault(
      "shot-of-another-launcher",
      `${name} (${id}) is not said to have had the launcher that is tuned, ${called}, and an airframe of this session.`,
      leaveOut,
    );
  }
  const other = statedOtherwise(launcherThere, here);
  if (other.length > 0) {
    return fault(
      "shot-of-another-launcher",
      `The launcher of ${name} (${id}) was stated otherwise there than here: ${other.join(", ")}.`,
      "Leave it out; or, where it was the same launcher, state it as well in both outings as you know it.",
    );
  }
  const wrong = predictionFaults({ ...launch, tuning: undefined }).find(isImpossible);
  return wrong === undefined ? null : fault("impossible-input", `${name} (${id}): ${wrong.cause}`, leaveOut);
}

/** What is wrong with the parameters alone, which can be said before any shot is measured. */
export function parameterFault(document: Tunable, parameters: readonly string[]): Fault | null {
  if (document.shots.length === 0)
    return fault(
      "no-shots",
      "The launcher has no shots.",
      "Add a shot, say which launcher threw it, and measure it.",
    );
  if (!hasModel(document.launcher)) return NOTHING_TO_TUNE;
  const able = tunableParameters(document);
  const names = able.map(({ path }) => path).join(", ");
  if (able.length === 0) {
    return fault(
      "nothing-to-tune",
      "Every input of the launcher is stated without uncertainty, so there is nothing to tune.",
      "State a standard uncertainty for each input that is in doubt.",
    );
  }
  if (parameters.length === 0) {
    return fault("no-parameters", "No input was chosen to tune.", `Choose one or more of: ${names}.`);
  }
  const unknown = parameters.find((path) => !able.some((one) => one.path === path));
  if (unknown !== undefined) {
    return fault(
      "unknown-parameter",
      `"${unknown}" is not an input of this launcher that can be tuned.`,
      `These can be, because they have an uncertainty: ${names}.`,
    );
  }
  return null;
}

function fault(code: TuneFaultCode, cause: string, remedy: string): Fault {
  return { code, cause, remedy };
}
