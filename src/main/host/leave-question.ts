import type { Fault } from "../../shared/quantity/notice.ts";

/** Index of the button that leaves. */
export const LEAVE = 1;

/** What a person is told whose window holds itself back. */
export const NOT_SAVED: Fault = {
  code: "not-saved",
  cause: "Your last changes are not saved in the folder.",
  remedy: "The window says why.",
};

/**
 * The dialog before a window goes on with something unsaved: stay or leave when a save failed, wait
 * or leave when it is late.
 */
export function leaveQuestion(fault: Fault | null) {
  const { cause, remedy } = fault ?? {
    cause: "Your last changes are still being saved.",
    remedy: "This can take a while on a slow card.",
  };
  return {
    type: "warning" as const,
    message: cause,
    detail: `${remedy} If you leave, Loftmark keeps them on this computer and brings them back with the folder.`,
    buttons: [fault === null ? "Wait" : "Stay", "Leave"],
    defaultId: 0,
    cancelId: 0,
  };
}
