import { ORIGINS, type Origin } from "../../shared/beside/origins.ts";
import { useActions, useAppState } from "../actions/app-context.ts";
import type { Blendable } from "./blend-of.ts";

/** What falls together of two pictures over each other, and how much of each is seen. */
export function BlendTools({
  blendable: { blend, can, why },
  names,
}: {
  readonly blendable: Blendable;
  readonly names: readonly [string, string];
}) {
  const actions = useActions();
  const share = useAppState((s) => s.day.pictures.share);
  const percent = Math.round(100 * share);
  return (
    <>
      <div className="day-tools">
        {blend === null ? null : (
          <>
            <label>
              Together{" "}
              <select
                value={blend.place.origin}
                onChange={(event) => actions.showPictures({ together: event.target.value as Origin })}
              >
                {ORIGINS.map((one) => (
                  <option key={one} value={one} disabled={!can.includes(one)}>
                    {one}
                  </option>
                ))}
              </select>
            </label>
            <label className="beside-share">
              {names[0]} {100 - percent} %{" "}
              <input
                type="range"
                aria-label={`Share of ${names[1]}`}
                aria-valuetext={`${percent} %`}
                min={0}
                max={100}
                step={5}
                value={percent}
                onChange={(event) => actions.sharePictures(Number(event.target.value) / 100)}
              />{" "}
              {percent} % {names[1]}
            </label>
          </>
        )}
      </div>
      {why === null ? null : (
        <div className="beside-missing" role="status">
          <p>{why}</p>
          <p>
            {blend === null
              ? "They stand side by side instead."
              : `The ${blend.place.origin} is together instead.`}
          </p>
        </div>
      )}
    </>
  );
}
