import type { Against } from "../../shared/day/day-kinds.ts";
import { type OverSetting, overSetting } from "../../shared/next-shot/over-setting.ts";
import type { LaunchInputs } from "../../shared/session/launch-inputs.ts";

export interface DayModelRequest {
  readonly key: string;
  readonly launch: LaunchInputs;
  readonly against: Against;
  /** SI */
  readonly range: readonly [number, number];
}

export type DayModelReply =
  | { readonly ok: true; readonly said: OverSetting }
  | { readonly ok: false; readonly message: string };

// The page's own worker scope: the DOM types know only the window's.
const scope = self as unknown as {
  onmessage: ((event: MessageEvent<DayModelRequest>) => void) | null;
  postMessage(reply: DayModelReply): void;
};

scope.onmessage = ({ data: { launch, against, range } }) => {
  try {
    scope.postMessage({ ok: true, said: overSetting(launch, against, ...range) });
  } catch (error) {
    scope.postMessage({ ok: false, message: error instanceof Error ? error.message : String(error) });
  }
};
