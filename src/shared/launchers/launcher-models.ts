import type { LauncherKind } from "../inputs/input.ts";
import type { Launcher } from "../session/schema.ts";
import { ELASTIC_LAUNCHER } from "./elastic/elastic-launcher.ts";
import type { LauncherKindModel } from "./launcher-kind-model.ts";
import { NO_MODEL_LAUNCHER } from "./no-model/no-model-launcher.ts";
import { RAM_LAUNCHER } from "./ram/ram-launcher.ts";
import { ROCKET_LAUNCHER } from "./rocket/rocket-launcher.ts";

/** Every kind of launcher, a line each. */
export const LAUNCHER_MODELS: {
  readonly [Kind in LauncherKind]: LauncherKindModel<Extract<Launcher, { readonly kind: Kind }>>;
} = {
  "compressed-air-ram": RAM_LAUNCHER,
  "rocket-boost": ROCKET_LAUNCHER,
  "elastic-line": ELASTIC_LAUNCHER,
  "no-model": NO_MODEL_LAUNCHER,
};

/** What a launcher's kind offers. Its members take that launcher, or another of the same kind. */
export function launcherModel<L extends Launcher>({ kind }: L): LauncherKindModel<L> {
  return LAUNCHER_MODELS[kind] as LauncherKindModel<Launcher>;
}

/** What a person's launcher offers; null where none is described yet. */
export function modelOf(launcher: Launcher | null): LauncherKindModel<Launcher> | null {
  return launcher === null ? null : launcherModel(launcher);
}

/** Whether a model says how the launcher pushes. */
export function hasModel(launcher: Launcher | null): launcher is Launcher {
  return modelOf(launcher)?.push != null;
}
