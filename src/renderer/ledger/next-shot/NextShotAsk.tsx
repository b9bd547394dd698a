import { modelOf } from "../../../shared/launchers/launcher-models.ts";
import { choicesFor } from "../../../shared/next-shot/setting.ts";
import type { Launcher, NextShot } from "../../../shared/session/schema.ts";
import { useActions } from "../../actions/app-context.ts";
import { Choice } from "../fields/Choice.tsx";
import { NumberField } from "../fields/NumberField.tsx";

const CHOICE_WORDS: Readonly<Record<NextShot["choose"], string>> = {
  pressure: "the pressure",
  mass: "the mass",
  stroke: "the stroke",
  motor: "the motors",
  draw: "the draw",
};

/** What a choice is called on a launcher, which may have its own words for it. */
function wordsOf(choose: NextShot["choose"], launcher: Launcher | null): string {
  const setting = modelOf(launcher)?.settings.find((one) => one.choose === choose);
  return setting?.called?.words ?? CHOICE_WORDS[choose];
}

/**
 * What is wanted of the next shot: its speed, what may be changed to get it, and the least margin over stall.
 */
export function NextShotAsk(props: { readonly ask: NextShot; readonly launcher: Launcher | null }) {
  const { ask, launcher } = props;
  const actions = useActions();
  const change = (part: Partial<NextShot>) =>
    actions.change({ kind: "set-next-shot", nextShot: { ...ask, ...part } });
  const choices = choicesFor(launcher);
  const wanted = ask.speedMPerS;
  return (
    <>
      <NumberField
        label="Release speed wanted"
        path="nextShot.speedMPerS"
        optional
        digits={4}
        value={wanted?.value ?? null}
        onEntry={(value) => change({ speedMPerS: value === null ? null : { value, u: wanted?.u ?? 0 } })}
      />
      {wanted === null ? null : (
        <NumberField
          label="It may be off by ±"
          kind="speed"
          rule="not-negative"
          value={wanted.u}
          onEntry={(u) => u !== null && change({ speedMPerS: { value: wanted.value, u } })}
        />
      )}
      {choices.length === 0 ? null : (
        <Choice
          label="To get it, change"
          options={choices.map((choose) => [choose, wordsOf(choose, launcher)] as const)}
          value={choices.includes(ask.choose) ? ask.choose : null}
          onChoose={(choose) => change({ choose })}
        />
      )}
      <NumberField
        label="Least stall margin"
        path="nextShot.leastStallMargin"
        optional
        value={ask.leastStallMargin}
        hint="Release airspeed over stall speed at least; builders keep 1.2 to 1.3."
        onEntry={(leastStallMargin) => change({ leastStallMargin })}
      />
    </>
  );
}
