import type { RamLauncher } from "../../../shared/session/schema.ts";
import { MeasuredField } from "../fields/MeasuredField.tsx";
import { More } from "../fields/More.tsx";
import { ValveFields } from "./ValveFields.tsx";

type FurtherValve = NonNullable<RamLauncher["moreValves"]>[number];

const MOST = 8;
const ORDINALS = ["Second", "Third", "Fourth", "Fifth", "Sixth", "Seventh", "Eighth", "Ninth"];

export interface MoreValvesProps {
  /** As the first valve, which a new one starts as a copy of. */
  readonly first: Pick<RamLauncher, "valve" | "openingS">;
  readonly valves: readonly FurtherValve[];
  readonly onValves: (valves: FurtherValve[] | undefined) => void;
}

/** Valves side by side with the first, each with its own opening time and delay. */
export function MoreValves({ first, valves, onValves }: MoreValvesProps) {
  const put = (i: number, part: Partial<FurtherValve>) =>
    onValves(valves.map((one, at) => (at === i ? { ...one, ...part } : one)));
  const remove = (i: number) => {
    const left = valves.filter((_, at) => at !== i);
    onValves(left.length === 0 ? undefined : left);
  };
  return (
    <More
      title="Further valves side by side"
      says={valves.length === 0 ? "none" : `${valves.length} beside the first`}
    >
      {valves.map((one, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: valves have no name but their place
        <section className="group" key={i} aria-label={`${ORDINALS[i]} valve`}>
          <h4>{ORDINALS[i]} valve</h4>
          <ValveFields
            path="launcher.moreValves[].valve"
            name={`launcher valve ${i + 2}`}
            valve={one.valve}
            onValve={(valve) => put(i, { valve })}
          />
          <MeasuredField
            field={`launcher valve ${i + 2} openingS`}
            path="launcher.moreValves[].openingS"
            measured={one.openingS}
            onEntry={(openingS) => openingS && put(i, { openingS })}
          />
          <MeasuredField
            field={`launcher valve ${i + 2} delayS`}
            path="launcher.moreValves[].delayS"
            measured={one.delayS}
            onEntry={(delayS) => delayS && put(i, { delayS })}
          />
          <button type="button" className="quiet" onClick={() => remove(i)}>
            Remove this valve
          </button>
        </section>
      ))}
      {valves.length < MOST ? (
        <button
          type="button"
          onClick={() => onValves([...valves, { ...first, delayS: { value: 0, u: 0.002 } }])}
        >
          Add a valve like the first
        </button>
      ) : null}
    </More>
  );
}
