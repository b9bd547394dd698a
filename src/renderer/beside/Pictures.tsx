import { memo, useMemo } from "react";
import { INSTANTS, type Instant } from "../../shared/beside/frames-in-time.ts";
import type { DayShot } from "../../shared/day/day-columns.ts";
import { useActions, useAppState } from "../actions/app-context.ts";
import { sessionOf } from "../app-state/app-state.ts";
import { BesidePictures } from "./BesidePictures.tsx";
import { BlendTools } from "./BlendTools.tsx";
import { blendOf } from "./blend-of.ts";
import { isSide, type NoSide, type Side, sideOf } from "./side-of.ts";

type Two<T> = readonly [T, T];

/** What the two places are called. */
const PLACES = { "side by side": ["Left", "right"], blended: ["Under", "over"] } as const;

/** The pictures of two of the chosen shots at the same time from release, or from first motion. */
export const Pictures = memo(function Pictures({ chosen }: { readonly chosen: readonly DayShot[] }) {
  const actions = useActions();
  const { shown } = useAppState((s) => s.day.pictures);
  return (
    <section className="day-figures beside" aria-label="Pictures">
      <h2>
        Pictures at the same time{" "}
        <button
          type="button"
          className="quiet"
          aria-expanded={shown}
          onClick={() => actions.showPictures({ shown: !shown })}
        >
          {shown ? "Hide" : "Show"}
        </button>
      </h2>
      {shown ? <ShownPictures chosen={chosen} /> : null}
    </section>
  );
});

function ShownPictures({ chosen }: { readonly chosen: readonly DayShot[] }) {
  const actions = useActions();
  const view = useAppState((s) => s.day.pictures);
  const two = useMemo(() => twoOf(chosen, view.shots), [chosen, view.shots]);
  const ofRelease = useSides(two, "release");
  const ofMotion = useSides(two, "first motion");
  const blends = view.arrangement === "blended";
  const [lower, upper] = bothOf(ofRelease) ?? bothOf(ofMotion) ?? [null, null];
  const blendable = useMemo(
    () => (blends && lower !== null && upper !== null ? blendOf([lower, upper], view.together) : null),
    [blends, lower, upper, view.together],
  );
  if (two === null) {
    return <p className="day-empty">Choose a second shot in the table: two are shown at the same time.</p>;
  }
  const can: Readonly<Record<Instant, Two<Side> | null>> = {
    release: bothOf(ofRelease),
    "first motion": bothOf(ofMotion),
  };
  const other = view.from === "release" ? "first motion" : "release";
  const from = can[view.from] === null && can[other] !== null ? other : view.from;
  const sides = can[from];
  const wanted = view.from === "release" ? ofRelease : ofMotion;
  const missing = wanted.filter((side): side is NoSide => !isSide(side));
  const names = chosen.map(({ shot }) => shot);
  const pick = (place: 0 | 1, id: string) =>
    actions.showPictures({ shots: place === 0 ? [id, two[1].shot.id] : [two[0].shot.id, id] });
  return (
    <>
      <div className="day-tools">
        {([0, 1] as const).map((place) => (
          <label key={place}>
            {PLACES[view.arrangement][place]}{" "}
            <select value={two[place].shot.id} onChange={(event) => pick(place, event.target.value)}>
              {names.map(({ id, name }) => (
                <option key={id} value={id}>
                  {name}
                </option>
              ))}
            </select>
          </label>
        ))}
        <label>
          shown{" "}
          <select
            value={view.arrangement}
            onChange={(event) =>
              actions.showPictures({ arrangement: event.target.value as typeof view.arrangement })
            }
          >
            {Object.keys(PLACES).map((one) => (
              <option key={one}>{one}</option>
            ))}
          </select>
        </label>
        <label>
          time from{" "}
          <select
            value={from}
            onChange={(event) => actions.showPictures({ from: event.target.value as Instant })}
          >
            {INSTANTS.map((one) => (
              <option key={one} value={one} disabled={can[one] === null && one !== from}>
                {one}
              </option>
            ))}
          </select>
        </label>
      </div>
      {missing.length === 0 ? null : (
        <div className="beside-missing" role="status">
          {missing.map(({ cause, remedy }) => (
            <p key={cause}>
              {cause} {remedy}
            </p>
          ))}
          {sides === null ? null : <p>Time is counted from {from} instead.</p>}
        </div>
      )}
      {sides === null || blendable === null ? null : (
        <BlendTools blendable={blendable} names={[sides[0].name, sides[1].name]} />
      )}
      {sides === null ? null : <BesidePictures sides={sides} from={from} blend={blendable?.blend ?? null} />}
    </>
  );
}

/** The two of the chosen shots that are shown; null where only one is chosen. */
function twoOf(chosen: readonly DayShot[], [left, right]: Two<string | null>): Two<DayShot> | null {
  const [first, second] = chosen;
  if (first === undefined || second === undefined) return null;
  const named = (id: string | null) => chosen.find(({ shot }) => shot.id === id);
  return [named(left) ?? first, named(right) ?? second];
}

/** The sides of two shots in time from an instant, or why there are none; empty without two shots. */
function useSides(two: Two<DayShot> | null, from: Instant): readonly (Side | NoSide)[] {
  const [a, b] = two ?? [null, null];
  const [left, right] = [useSide(a, from), useSide(b, from)];
  // A shot beside itself is one side: nothing is uncertain between the two.
  if (left === null || right === null) return [];
  return a === b ? [left, left] : [left, right];
}

function useSide(one: DayShot | null, from: Instant): Side | NoSide | null {
  const session = useAppState(sessionOf);
  const result = useAppState((s) => (one === null ? null : (s.results[one.shot.id] ?? null)));
  const knowledge = useAppState((s) => (one?.shot.clip == null ? undefined : s.known[one.shot.clip]));
  return useMemo(
    () => (one === null ? null : sideOf(one, { session, result, knowledge }, from)),
    [one, session, result, knowledge, from],
  );
}

function bothOf(sides: readonly (Side | NoSide)[]): Two<Side> | null {
  const [left, right] = sides;
  return left !== undefined && right !== undefined && isSide(left) && isSide(right) ? [left, right] : null;
}
