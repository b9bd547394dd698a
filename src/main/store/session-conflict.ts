import { FaultError } from "../../shared/quantity/notice.ts";
import { SESSION_FILE } from "./session-state.ts";

/** Somebody else saved: what was to be saved rests on a state that the folder no longer has. */
export function sessionChanged(): FaultError {
  return new FaultError(
    "session-changed",
    `${SESSION_FILE} was changed on disk since you opened it, so your last changes were not saved over it.`,
    "Reload to see the other version; your last changes can then be made again.",
  );
}

/** Work was asked for on a state that the folder no longer has. */
export function movedOn(): FaultError {
  return new FaultError(
    "session-moved-on",
    "The session in the folder is not the one this was asked for: it has been changed since.",
    "Wait until the window says that it is saved, or settle the conflict that it shows; then start again.",
  );
}
