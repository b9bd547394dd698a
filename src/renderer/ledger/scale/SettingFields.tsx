import type { Setting, Shot } from "../../../shared/session/schema.ts";
import { useActions } from "../../actions/app-context.ts";
import { MeasuredField } from "../fields/MeasuredField.tsx";

/** In the plane of the rod and square to the camera, as well as a person sees by eye. */
const BY_EYE: Setting = {
  distanceM: { value: 5, u: 1 },
  nearerM: { value: 0, u: 0.05 },
  turnRad: { value: 0, u: 0.035 }, // 2°
};

/** Where the flight was when it was not in the plane of the rod. */
export function SettingFields({ shot }: { readonly shot: Shot }) {
  const actions = useActions();
  const { setting } = shot;
  const put = (next: Setting | undefined) =>
    actions.change({ kind: "update-shot", shotId: shot.id, patch: { setting: next } });
  if (setting === undefined) {
    return (
      <>
        <p className="plain">
          Speeds are taken in the plane of the rod, and ± 10 mm out of it are assumed. Say how far the camera
          stood and how well the plane was kept, or that the airframe flew nearer, farther or not square to
          the camera: ten centimetres at five metres are 2 % of every speed.
        </p>
        <p className="plain">
          <button type="button" onClick={() => put(BY_EYE)}>
            Say where the flight was
          </button>
        </p>
      </>
    );
  }
  return (
    <>
      <MeasuredField
        field={`${shot.id} distance`}
        label="From the camera to the rod"
        path="shots[].setting.distanceM"
        measured={setting.distanceM}
        onEntry={(distanceM) => distanceM && put({ ...setting, distanceM })}
      />
      <MeasuredField
        field={`${shot.id} nearer`}
        label="The flight is nearer by"
        path="shots[].setting.nearerM"
        measured={setting.nearerM}
        hint="Below zero when farther. Everything nearer looks larger, and so faster."
        onEntry={(nearerM) => nearerM && put({ ...setting, nearerM })}
      />
      <MeasuredField
        field={`${shot.id} turn`}
        label="Its right side turned away by"
        path="shots[].setting.turnRad"
        measured={setting.turnRad}
        hint="Below zero when turned towards the camera. A turned flight looks shorter, and so slower."
        onEntry={(turnRad) => turnRad && put({ ...setting, turnRad })}
      />
      <button type="button" className="quiet" onClick={() => put(undefined)}>
        Back to what is assumed
      </button>
    </>
  );
}
