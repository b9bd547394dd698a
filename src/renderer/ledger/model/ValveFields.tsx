import { useState } from "react";
import {
  coefficientFrom,
  conductanceFrom,
  type FlowCoefficient,
} from "../../../shared/launch/ram/flow-coefficients.ts";
import { showMeasured } from "../../../shared/quantity/display.ts";
import type { Measured } from "../../../shared/quantity/measured.ts";
import type { RamLauncher } from "../../../shared/session/schema.ts";
import { Choice } from "../fields/Choice.tsx";
import { MeasuredField } from "../fields/MeasuredField.tsx";

type Valve = RamLauncher["valve"];
type KnownBy = "C" | FlowCoefficient;

export interface ValveFieldsProps {
  /** unique in the window: drafts are kept by it */
  readonly name: string;
  /** Path of the valve in the table of inputs. */
  readonly path: string;
  readonly valve: Valve;
  readonly onValve: (valve: Valve) => void;
}

/**
 * A valve by C and b of ISO 6358, or by a coefficient found with water, of which C is made with its spread.
 */
export function ValveFields({ name, path, valve, onValve }: ValveFieldsProps) {
  const [knownBy, setKnownBy] = useState<KnownBy>("C");
  return (
    <>
      <Choice
        label="The valve is known by"
        options={[
          ["C", "C"],
          ["Kv", "Kv"],
          ["Cv", "Cv"],
        ]}
        value={knownBy}
        onChoose={setKnownBy}
      />
      {knownBy === "C" ? (
        <MeasuredField
          field={`${name} conductance`}
          path={`${path}.conductance`}
          measured={valve.conductance}
          onEntry={(conductance) => conductance && onValve({ ...valve, conductance })}
        />
      ) : (
        <MeasuredField
          key={knownBy}
          field={`${name} ${knownBy}`}
          label={`Flow coefficient ${knownBy}`}
          kind="ratio"
          rule="positive"
          measured={coefficientOf(knownBy, valve.conductance)}
          hint={`C is ${conductanceText(valve.conductance)}. A coefficient found with water gives it to a tenth at best, as no one factor leads from water to air; better measure C as the tank blows down.`}
          onEntry={(entry) => entry && onValve({ ...valve, conductance: conductanceFrom(knownBy, entry) })}
        />
      )}
      <MeasuredField
        field={`${name} ratio`}
        path={`${path}.criticalRatio`}
        measured={valve.criticalRatio}
        hint={knownBy === "C" ? undefined : "A coefficient found with water says nothing of it."}
        onEntry={(criticalRatio) => criticalRatio && onValve({ ...valve, criticalRatio })}
      />
    </>
  );
}

/** The coefficient, without digits that a C known better than the spread would give it. */
function coefficientOf(kind: FlowCoefficient, conductance: Measured): Measured {
  const { value, u } = coefficientFrom(kind, conductance);
  return u > 0 ? { value, u } : { value: Number(value.toPrecision(3)), u };
}

/** "15.7 ± 1.2 dm³/(s·bar)" */
export function conductanceText({ value, u }: Measured): string {
  return `${showMeasured({ value: value * 1e8, u: u * 1e8 }, "1").text} dm³/(s·bar)`;
}
