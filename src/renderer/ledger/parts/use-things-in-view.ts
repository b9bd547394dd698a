import type { Airframe, Launcher } from "../../../shared/session/schema.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { airframeInView, launcherInView } from "../../app-state/things-in-view.ts";

/** Changes the airframe that the shot in the window threw. */
export function useChangeAirframe(): (patch: Partial<Airframe>) => void {
  const actions = useActions();
  const airframeId = useAppState((s) => airframeInView(s).id);
  return (patch) => actions.change({ kind: "update-airframe", airframeId, patch });
}

/** Changes the launcher that threw the shot in the window; does nothing where none is said. */
export function useChangeLauncher(): (launcher: Launcher) => void {
  const actions = useActions();
  const launcherId = useAppState((s) => launcherInView(s)?.id ?? null);
  return (launcher) => {
    if (launcherId !== null) actions.change({ kind: "set-launcher", launcherId, launcher });
  };
}
