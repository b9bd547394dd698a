import type { Launcher } from "../../session/schema.ts";
import type { LauncherKindModel } from "../launcher-kind-model.ts";

const NOTHING = () => [];

/** A throw by hand, or a launcher that no model describes: what is measured stands alone. */
export const NO_MODEL_LAUNCHER: LauncherKindModel<Extract<Launcher, { readonly kind: "no-model" }>> = {
  words: "without a model",
  inputs: [],
  guessed: () => null,
  hasTank: false,
  pushesAfterRelease: false,
  push: null,
  cautions: { ofShot: NOTHING, ofKind: NOTHING, standing: NOTHING, ofStoredEnergy: NOTHING, closing: [] },
  settings: [],
  directionRad: () => null,
  travelM: () => null,
  limits: () => ({}),
  loads: NOTHING,
  sketch: () => null,
  facts: NOTHING,
};
